"""Schedules: networks of activities, days that yield work, and activities placed one by one."""
