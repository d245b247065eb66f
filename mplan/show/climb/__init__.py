"""Pictures, tables and panel of workbook 05, the climb."""
