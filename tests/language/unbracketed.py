"""unbracketed.py FOLDER PACKS NAME...: the words of the sheets in FOLDER (HTML) that stand outside the brackets of
bracketed.py. What is data passes: the texts of code packs (TOML in PACKS), what the kitchen wrote (NAME...: files that
hold it), lengths and dates, notation. Prints what is left and exits with 1."""
import html.parser
import pathlib
import re
import sys

NOTATION = {"min", "UTC"}


class Texts(html.parser.HTMLParser):
    def __init__(self):
        super().__init__()
        self.found, self.skipped = [], 0

    def handle_starttag(self, tag, attrs):
        self.skipped += tag == "style"
        self.found += [v for k, v in attrs if k in ("alt", "title", "aria-label") and v]

    def handle_endtag(self, tag):
        self.skipped -= tag == "style"

    def handle_data(self, data):
        if not self.skipped:
            self.found.append(data)


def outside(text):
    while (inner := re.sub("\u27e6[^\u27e6\u27e7]*\u27e7", " ", text)) != text:
        text = inner
    return text


folder, packs, *written = map(pathlib.Path, sys.argv[1:])
data = " ".join(p.read_text(encoding="utf-8") for p in [*packs.glob("*.toml"), *written])
known = set(re.findall(r"\w+", data)) | NOTATION
bad, pages, bracketed = {}, 0, 0
for page in sorted(folder.glob("*.html")):
    reader = Texts()
    reader.feed(page.read_text(encoding="utf-8"))
    pages += 1
    # A text may be cut over several elements (a line of a chart), so that brackets are counted over the whole page.
    whole = "\n".join(reader.found)
    bracketed += whole.count("\u27e6")
    for word in re.findall(r"[^\W\d_]{3,}", outside(whole)):
        if word not in known:
            bad.setdefault(word, page.name)
for word, where in bad.items():
    print(f"{where}: {word}")
print(f"{pages} pages, {bracketed} bracketed texts, {len(bad)} words outside")
sys.exit(0 if pages > 5 and bracketed > 1000 and not bad else 1)
