"""The HTTP face of the service: one blueprint per resource."""
