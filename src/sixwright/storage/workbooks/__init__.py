"""Every table of a line out to a workbook (XLSX), and an edited one back."""
