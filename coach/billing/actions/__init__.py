"""Writes of billing; each is one transaction with one audit entry."""
