"""Pictures, tables and panel of workbook 02, the way to the Moon."""
