"""Tests of the whole program, one folder a layer."""
