"""Pictures, tables and panel of workbook 07, entry and landing on Earth."""
