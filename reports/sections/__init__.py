"""The sections of the book, one per module: each reads the source and returns what its template prints, or None when empty."""
