"""Schemes, forms, deadlines, receipts and results of exams."""
