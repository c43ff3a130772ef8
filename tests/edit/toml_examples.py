"""Pieces of TOML as TOML v1.0.0 (toml.io, 2021-01-11) shows them, by section, with our own words in them."""

from __future__ import annotations

__all__ = ["EXAMPLES"]

EXAMPLES = {
    "Comment": '# a whole line\nkey = "value"  # at the end of a line\nanother = "# not a comment"\n',
    "Keys, bare": 'key = "value"\nbare_key = "value"\nbare-key = "value"\n1234 = "value"\n',
    "Keys, quoted": (
        '"127.0.0.1" = "value"\n"character encoding" = "value"\n"ʎǝʞ" = "value"\n'
        "'key2' = \"value\"\n'quoted \"value\"' = \"value\"\n"
    ),
    "Keys, empty": '"" = "blank"\n',
    "Keys, dotted": (
        'name = "Orange"\nphysical.color = "orange"\nphysical.shape = "round"\nsite."google.com" = true\n'
    ),
    "Keys, white space": 'fruit.name = "banana"\nfruit. color = "yellow"\nfruit . flavor = "banana"\n',
    "Keys, out of order": (
        'apple.type = "fruit"\norange.type = "fruit"\n\napple.skin = "thin"\norange.skin = "thick"\n'
    ),
    "Keys, numbers": '3.14159 = "pi"\n',
    "String, basic": 'str = "I\'m a string. \\"You can quote me\\". Name\\tJos\\u00E9\\nLocation\\tSF."\n',
    "String, multi-line": (
        'str1 = """\nRoses are red\nViolets are blue"""\nstr2 = """\nThe quick brown \\\n\n\n'
        '  fox jumps over \\\n    the lazy dog."""\nstr5 = """Here are three quotation marks: ""\\"."""\n'
    ),
    "String, literal": (
        "winpath  = 'C:\\Users\\nodejs\\templates'\nquoted   = 'Tom \"Dubs\" Preston-Werner'\n"
        "regex    = '<\\i\\c*\\s*>'\nlines  = '''\nThe first newline is\ntrimmed in raw strings.\n'''\n"
    ),
    "Integer": (
        "int1 = +99\nint2 = 42\nint3 = 0\nint4 = -17\nint5 = 1_000\nhex1 = 0xDEADBEEF\noct1 = 0o01234567\n"
        "bin1 = 0b11010110\n"
    ),
    "Float": (
        "flt1 = +1.0\nflt2 = 3.1415\nflt3 = -0.01\nflt4 = 5e+22\nflt7 = 6.626e-34\n"
        "sf1 = inf\nsf3 = -inf\n"
    ),
    "Boolean": "bool1 = true\nbool2 = false\n",
    "Dates and times": (
        "odt1 = 1979-05-27T07:32:00Z\nodt2 = 1979-05-27T00:32:00-07:00\nodt4 = 1979-05-27 07:32:00Z\n"
        "ldt1 = 1979-05-27T07:32:00\nld1 = 1979-05-27\nlt1 = 07:32:00\nlt2 = 00:32:00.999999\n"
    ),
    "Array": (
        "integers = [ 1, 2, 3 ]\ncolors = [ \"red\", \"yellow\", \"green\" ]\n"
        "nested = [ [ 1, 2 ], [3, 4, 5] ]\n"
        "mixed = [ [ 1, 2 ], [\"a\", \"b\", \"c\"] ]\n"
        "string_array = [ \"all\", 'strings', \"\"\"are\"\"\" ]\n"
        "contributors = [\n  \"Foo Bar <foo@example.com>\",\n"
        "  { name = \"Baz Qux\", email = \"bazqux@example.com\" }\n]\n"
    ),
    "Array, trailing comma": "integers2 = [\n  1, 2, 3\n]\n\nintegers3 = [\n  1,\n  2, # this is ok\n]\n",
    "Table": (
        '[table-1]\nkey1 = "some string"\nkey2 = 123\n\n[table-2]\nkey1 = "another string"\nkey2 = 456\n\n'
        '[dog."tater.man"]\ntype.name = "pug"\n'
    ),
    "Table, white space": (
        "[a.b.c]            # this is best practice\n[ d.e.f ]\n"
        "[ g .  h  . i ]\n[ j . \"ʞ\" . 'l' ]\n"
    ),
    "Table, super-tables": "[x.y.z.w] # for this to work\n\n[x] # defining a super-table afterward is ok\n",
    "Inline table": (
        'name = { first = "Tom", last = "Preston-Werner" }\npoint = { x = 1, y = 2 }\n'
        'animal = { type.name = "pug" }\n'
    ),
    "Array of tables": (
        '[[products]]\nname = "Hammer"\nsku = 738594937\n\n[[products]]  # empty table within the array\n\n'
        '[[products]]\nname = "Nail"\nsku = 284758393\n\ncolor = "gray"\n'
    ),
    "Array of tables, nested": (
        '[[fruits]]\nname = "apple"\n\n[fruits.physical]  # subtable\ncolor = "red"\nshape = "round"\n\n'
        '[[fruits.varieties]]  # nested array of tables\nname = "red delicious"\n\n'
        '[[fruits.varieties]]\nname = "granny smith"\n\n[[fruits]]\nname = "banana"\n\n'
        '[[fruits.varieties]]\nname = "plantain"\n'
    ),
    "Array of inline tables": (
        "points = [ { x = 1, y = 2, z = 3 },\n           { x = 7, y = 8, z = 9 },\n"
        "           { x = 2, y = 4, z = 8 } ]\n"
    ),
}  # fmt: skip
