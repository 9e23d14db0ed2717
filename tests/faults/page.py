"""A page of HTML as a browser takes it apart: its tags, its text."""

from html.parser import HTMLParser


class Seen(HTMLParser):
    """The tags and the text of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: set[tuple[str, ...]] = set()
        self.text = ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add((tag, *(name for name, _ in attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data
