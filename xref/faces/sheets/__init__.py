"""Sheets of paper: a page of HTML each, laid out for A4 or Letter, to print or to keep as PDF.

sheets     one function per sheet, from the documents of the acts to a page
pdf        the same page as PDF, through a Chromium that is installed
gather     which acts a sheet is made from
templates  the pages and their one style
"""
