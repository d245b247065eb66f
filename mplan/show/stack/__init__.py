"""Pictures, tables and panel of workbook 04, the stack on the pad."""
