"""saidseen: dated photos and spoken notes into a logbook, rebuild lists and a report for supporters, offline."""

__version__ = "0.1.0"
