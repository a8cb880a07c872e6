"""Where records are kept. The only importer of SQLAlchemy: what stands on top works with the things exported here."""
