"""Reads of billing. Pages get frozen values with the words and sums worked out."""
