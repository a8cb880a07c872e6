"""The build book: document, answer and vocabulary in; a site and a PDF out. Computes no physics, imports nothing of service."""
