"""Price lines, invoices, payments."""
