"""The record for those who don't have the program: tables, a page, an archive, all from the declarations."""
