"""Paper: values turned into HTML, PDF and spreadsheets. No database."""
