"""Reads of the first page, put together from every room below."""

from coach.today.queries.items import Item
from coach.today.queries.page import TodayPage, today_page

__all__ = ["Item", "TodayPage", "today_page"]
