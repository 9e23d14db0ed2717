"""Dues: what the plan asks for, in short on the board and in full on its page; reminders."""
