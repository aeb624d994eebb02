"""Tests of the review page."""
