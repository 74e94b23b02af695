"""The door for Python and notebooks: a house, its year, and every answer with its tables.

    import tenhour as th
    year = th.Year(th.demo_house())
    year.sow("2027-01-15").crops

What an argument has wrong is raised as :class:`tenhour.FileProblem`, which names the argument, what was found and what
is allowed. Nothing here is kept between calls but in the objects handed out; these are never changed, and may be
shared between threads.
"""

from __future__ import annotations

from tenhour.door.answer import Answer
from tenhour.door.beds import Beds
from tenhour.door.house import House, demo_house, read_house
from tenhour.door.region import atlas
from tenhour.door.year import Year, sources_of

__all__ = ["Answer", "Beds", "House", "Year", "atlas", "demo_house", "read_house", "sources_of"]
