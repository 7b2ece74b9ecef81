"""bracketed.py CATALOGUE: prints the catalogue with every text between white square brackets: a made-up language."""
import re
import sys

text = open(sys.argv[1], encoding="utf-8").read()
literals = re.compile(r'(inline constexpr const char\* (\w+) =\s*)((?:"(?:\\.|[^"\\])*"\s*)+);')


def bracketed(match):
    whole = "".join(re.findall(r'"((?:\\.|[^"\\])*)"', match[3]))
    if match[2] == "language":
        return f'{match[1]}"art-x-bracket";'
    return f'{match[1]}"\u27e6{whole}\u27e7";'


print(literals.sub(bracketed, text), end="")
