"""Writes: one keyword-only function per thing a person does; one transaction, a permission, an audit line."""
