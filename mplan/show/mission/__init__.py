"""Pictures and tables of workbook 01, the whole mission."""
