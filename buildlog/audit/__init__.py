"""Checks over the whole record, one function each, gathered in one visible tuple."""
