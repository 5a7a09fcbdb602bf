"""The money topic: what each box must sell for."""
