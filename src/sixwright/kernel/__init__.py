"""What everything rests on: errors, quantities, currency, findings, sources, pictures."""
