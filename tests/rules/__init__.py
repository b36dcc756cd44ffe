"""Tests of the rules: small layouts made by hand, judged against figures that are cited."""
