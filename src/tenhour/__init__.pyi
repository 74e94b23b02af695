from tenhour.door import Answer as Answer
from tenhour.door import Beds as Beds
from tenhour.door import House as House
from tenhour.door import Year as Year
from tenhour.door import atlas as atlas
from tenhour.door import demo_house as demo_house
from tenhour.door import read_house as read_house
from tenhour.errors import FileProblem as FileProblem
from tenhour.errors import NoAnswer as NoAnswer
from tenhour.errors import OutOfRange as OutOfRange
from tenhour.errors import Problem as Problem
from tenhour.errors import TenhourError as TenhourError

__version__: str
