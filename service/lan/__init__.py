"""HTTPS on a shop's own network: a certificate authority for this shop alone, and how a phone comes to trust it."""
