"""Plans a winter greenhouse by its light.

``import tenhour as th`` loads nothing else; what stands in ``__all__`` is loaded when it is first asked for.
"""

__version__ = "0.1.0"
__all__ = [
    "Answer",
    "Beds",
    "FileProblem",
    "House",
    "NoAnswer",
    "OutOfRange",
    "Problem",
    "TenhourError",
    "Year",
    "atlas",
    "demo_house",
    "read_house",
]
_ERRORS = ("FileProblem", "NoAnswer", "OutOfRange", "Problem", "TenhourError")


def __getattr__(name: str) -> object:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    # By name, so that no room below is said to know the door.
    import importlib

    home = "errors" if name in _ERRORS else "door"
    return getattr(importlib.import_module(f"{__name__}.{home}"), name)


def __dir__() -> list[str]:
    return sorted([*__all__, "__version__"])
