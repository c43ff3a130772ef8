"""The program's messages and their translations: ``python -m tools.words`` renews the catalogues."""
