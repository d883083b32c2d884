"""Record files in and out: CSV, one XLSX workbook, GeoJSON."""
