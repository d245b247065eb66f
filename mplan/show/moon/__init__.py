"""Pictures, tables and panel of workbook 06, at the Moon."""
