"""Pictures, tables and panel of workbook 03, the way home."""
