"""Write a series as the plain table that :mod:`tenhour.files.weather.plain` reads."""

from __future__ import annotations

import io
from typing import Final

import pandas as pd

from tenhour.model.weather import AIR_COLUMNS, WeatherYear

COLUMNS: Final = ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "temp_degc", *AIR_COLUMNS)


def table_text(weather: WeatherYear, remark: str = "") -> str:
    """A series as text: what it is in lines that start with #, then a row per step.

    Parameters: weather; remark, one line on where it comes from.
    """
    place = {"latitude_deg": weather.latitude_deg, "longitude_deg": weather.longitude_deg}
    head = {
        "source": weather.source,
        "remark": remark,
        **{key: f"{value:.4f}" for key, value in place.items() if value is not None},
        "elevation_m": "" if weather.elevation_m is None else f"{weather.elevation_m:g}",
        "utc_offset_h": f"{weather.utc_offset_h:g}",
        "stamps": "middle",
        "typical": "true" if weather.typical else "false",
    }
    lines = [f"# {key}: {value}\n" for key, value in head.items() if value]
    columns = {name: getattr(weather, name) for name in COLUMNS}
    frame = pd.DataFrame({name: values for name, values in columns.items() if values is not None})
    frame.insert(0, "time", weather.times.strftime("%Y-%m-%d %H:%M"))
    buffer = io.StringIO()
    frame.to_csv(buffer, index=False, float_format="%.1f", lineterminator="\n")
    return "".join(lines) + buffer.getvalue()
