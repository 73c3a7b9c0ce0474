"""Text on paper in every script that the fonts cover: lines, blocks, pages, bytes.

Values in, bytes out: no rows, no settings, no clock. The PDF library is slow to load, so nothing
is imported here.
"""
