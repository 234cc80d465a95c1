"""The bench in a real browser: Chromium, where the machine has one."""
