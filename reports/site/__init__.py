"""The site: a folder of plain pages that links itself together and needs neither server nor script to be read."""

from reports.site.write import write

__all__ = ["write"]
