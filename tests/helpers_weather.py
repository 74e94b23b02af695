"""A made-up year of weather and writers that put it into each format as its own documents describe it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, wraps

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from pvlib.solarposition import get_solarposition

Array = NDArray[np.float64]


def _kept(write: Callable[..., str]) -> Callable[..., str]:
    """A file written before is not written again, where what it is made of can be a key."""
    cached = lru_cache(maxsize=64)(write)

    @wraps(write)
    def ask(*args: object, **named: object) -> str:
        try:
            return cached(*args, **named)  # type: ignore[arg-type]
        except TypeError:
            return write(*args, **named)

    return ask


PARTS_OF_HOUR = 3
SOLAR_W_M2 = 1361.0


@dataclass(frozen=True)
class Spot:
    """An invented station."""

    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    offset_h: int


NORTH = Spot(57.1, -4.7, 40.0, 0)
WEST = Spot(61.2, -149.9, 30.0, -10)
EAST = Spot(52.0, 104.3, 430.0, 7)
SOUTH = Spot(-45.9, 170.5, 20.0, 11)


@dataclass(frozen=True, eq=False)
class Truth:
    """Hours in the station's own standard time; ``starts`` is the start of each."""

    spot: Spot
    starts: pd.DatetimeIndex
    ghi_w_m2: Array
    dni_w_m2: Array
    dhi_w_m2: Array
    temp_degc: Array

    def utc(self) -> Truth:
        """The same year with its hours in UTC; hours over New Year go to the other end (one common year only)."""
        turn = -self.spot.offset_h
        rolled = {
            name: np.roll(getattr(self, name), turn) for name in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2", "temp_degc")
        }
        return Truth(self.spot, self.starts, **rolled)


@lru_cache(maxsize=16)
def made_up(spot: Spot = NORTH, first: int = 2001, last: int = 2001) -> Truth:
    """Whole years of hours: clearness by day from a fixed seed, light by the sun's height, a wave of temperature."""
    starts = pd.date_range(f"{first}-01-01", f"{last}-12-31 23:00", freq="h")
    fine = pd.date_range(starts[0] + pd.Timedelta(minutes=10), periods=len(starts) * PARTS_OF_HOUR, freq="20min")
    sun = get_solarposition(fine - pd.Timedelta(hours=spot.offset_h), spot.latitude_deg, spot.longitude_deg)
    sine = np.sin(np.radians(sun["elevation"].to_numpy())).clip(0.0).reshape(-1, PARTS_OF_HOUR).mean(axis=1)
    day = (starts - starts[0]).days.to_numpy()
    clearness = np.random.default_rng(5).uniform(0.1, 0.72, day.max() + 1)[day]
    ghi = SOLAR_W_M2 * sine * clearness
    dhi = ghi * np.clip(1.15 - clearness, 0.2, 1.0)
    dni = np.where(sine > 0.05, (ghi - dhi) / np.maximum(sine, 0.05), 0.0)
    season = np.cos(2 * np.pi * (starts.day_of_year.to_numpy() - 20) / 365.0) * (-1 if spot.latitude_deg > 0 else 1)
    temp = 8.0 + 9.0 * season + 3.0 * np.sin(2 * np.pi * (starts.hour.to_numpy() - 9) / 24.0)
    return Truth(spot, starts, *(np.round(values, 1) for values in (ghi, dni, dhi, temp)))


@_kept
def epw(truth: Truth, years: Array | None = None, hour_rows: list[str] | None = None, data_periods: str = "1,1") -> str:
    """EPW as in the EnergyPlus Auxiliary Programs guide: eight header lines, 35 fields, hours 1 to 24."""
    spot = truth.spot
    head = [
        f"LOCATION,Madeup,-,XXX,TEST,000000,{spot.latitude_deg},{spot.longitude_deg},{spot.offset_h:.1f},{spot.elevation_m}",
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
        "COMMENTS 1,invented",
        "COMMENTS 2,invented",
        f"DATA PERIODS,{data_periods},Data,Sunday, 1/ 1,12/31",
    ]
    return "\n".join([*head, *(hour_rows or epw_rows(truth, years))]) + "\n"


def epw_rows(truth: Truth, years: Array | None = None) -> list[str]:
    year = np.asarray(truth.starts.year) if years is None else years
    rows = zip(truth.starts, year, truth.temp_degc, truth.ghi_w_m2, truth.dni_w_m2, truth.dhi_w_m2, strict=True)
    tail = ",".join(
        ["9999"] * 4 + ["0", "0", "0", "0", "9999", "99999", "9", "999999999", "0", "0", "0", "88", "0", "0", "0"]
    )
    return [
        f"{y},{s.month},{s.day},{s.hour + 1},60,?9?9,{t:.1f},5.0,80,101325,0,0,300,{g:.1f},{n:.1f},{d:.1f},{tail}"
        for s, y, t, g, n, d in rows
    ]


TMY3_COLUMNS = (
    "Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),ETRN (W/m^2),GHI (W/m^2),GHI source,GHI uncert (%),DNI (W/m^2),"
    "DNI source,DNI uncert (%),DHI (W/m^2),DHI source,DHI uncert (%),Dry-bulb (C),Dry-bulb source,"
    "Dry-bulb uncert (code)"
)


@_kept
def tmy3(truth: Truth, years: Array | None = None) -> str:
    """TMY3 as in Wilcox & Marion 2008: hours 01:00 to 24:00, month/day/year."""
    spot = truth.spot
    year = np.asarray(truth.starts.year) if years is None else years
    lines = [
        f'999999,"MADEUP TOWN",XX,{spot.offset_h:.1f},{spot.latitude_deg},{spot.longitude_deg},{spot.elevation_m:.0f}',
        TMY3_COLUMNS,
    ]
    rows = zip(truth.starts, year, truth.temp_degc, truth.ghi_w_m2, truth.dni_w_m2, truth.dhi_w_m2, strict=True)
    lines += [
        f"{s.month:02d}/{s.day:02d}/{y},{s.hour + 1:02d}:00,0,0,{g:.0f},1,0,{n:.0f},1,0,{d:.0f},1,0,{t:.1f},E,9"
        for s, y, t, g, n, d in rows
    ]
    return "\n".join(lines) + "\n"


@_kept
def tmy2(truth: Truth, city: str = "MADEUP TOWN") -> str:
    """TMY2 as in Marion & Urban 1995: one header line, 142 characters a row, two-digit years."""
    spot = truth.spot
    ns, ew = ("N" if spot.latitude_deg > 0 else "S"), ("E" if spot.longitude_deg > 0 else "W")
    lat, lon = abs(spot.latitude_deg), abs(spot.longitude_deg)
    lines = [
        f" 99999 {city:<22} XX {spot.offset_h:3d} {ns} {int(lat):2d} {round(lat % 1 * 60):2d} "
        f"{ew} {int(lon):3d} {round(lon % 1 * 60):2d}  {spot.elevation_m:4.0f}"
    ]
    for s, t, g, n, d in zip(
        truth.starts, truth.temp_degc, truth.ghi_w_m2, truth.dni_w_m2, truth.dhi_w_m2, strict=True
    ):
        lines.append(
            f" {s.year % 100:02d}{s.month:02d}{s.day:02d}{s.hour + 1:02d}{0:4d}{0:4d}{g:4.0f}?0{n:4.0f}?0{d:4.0f}?0"
            f"{0:4d}?0{0:4d}?0{0:4d}?0{0:4d}?0{7:2d}A7{3:2d}A7{round(t * 10):4d}A7{150:4d}A7{71:3d}A7{1017:4d}A7"
            f"{158:3d}A7{67:3d}A7{161:4d}A7{77777:5d}A7{9999999999:10d}{13:3d}F8{62:3d}F8{0:3d}A7{88:2d}E7"
        )
    return "\n".join(lines) + "\n"


def _stamps(truth: Truth, minute: int = 0, years: Array | None = None) -> list[str]:
    year = np.asarray(truth.starts.year) if years is None else years
    return [f"{y}{s.month:02d}{s.day:02d}:{s.hour:02d}{minute:02d}" for s, y in zip(truth.starts, year, strict=True)]


@_kept
def pvgis_hourly_csv(truth: Truth, slope: str = "0") -> str:
    """PVGIS hourly CSV with components; ``truth`` in UTC, stamps at half past."""
    spot = truth.spot
    head = [
        f"Latitude (decimal degrees):\t{spot.latitude_deg:.3f}",
        f"Longitude (decimal degrees):\t{spot.longitude_deg:.3f}",
        f"Elevation (m):\t{spot.elevation_m:.0f}",
        "Radiation database:\tPVGIS-ERA5",
        "",
        "",
        f"Slope: {slope} deg. ",
        "Azimuth: 0 deg. ",
        "time,Gb(i),Gd(i),Gr(i),H_sun,T2m,WS10m,Int",
    ]
    rows = [
        f"{stamp},{g - d:.1f},{d:.1f},0.0,0.0,{t:.1f},3.0,0.0"
        for stamp, g, d, t in zip(_stamps(truth, 30), truth.ghi_w_m2, truth.dhi_w_m2, truth.temp_degc, strict=True)
    ]
    return "\r\n".join([*head, *rows, "", "Gb(i): Beam irradiance", "PVGIS (c) European Union"]) + "\r\n"


@_kept
def pvgis_hourly_json(truth: Truth, slope: float = 0.0) -> str:
    spot = truth.spot
    hourly = [
        {
            "time": stamp,
            "Gb(i)": round(g - d, 1),
            "Gd(i)": d,
            "Gr(i)": 0.0,
            "H_sun": 0.0,
            "T2m": t,
            "WS10m": 3.0,
            "Int": 0.0,
        }
        for stamp, g, d, t in zip(
            _stamps(truth, 30),
            truth.ghi_w_m2.tolist(),
            truth.dhi_w_m2.tolist(),
            truth.temp_degc.tolist(),
            strict=True,
        )
    ]
    place = {"latitude": spot.latitude_deg, "longitude": spot.longitude_deg, "elevation": spot.elevation_m}
    mounting = {"fixed": {"slope": {"value": slope, "optimal": False}, "azimuth": {"value": 0, "optimal": False}}}
    meteo = {"radiation_db": "PVGIS-ERA5", "meteo_db": "ERA5"}
    inputs = {"location": place, "meteo_data": meteo, "mounting_system": mounting}
    return json.dumps({"inputs": inputs, "outputs": {"hourly": hourly}, "meta": {"inputs": {}, "outputs": {}}})


@_kept
def pvgis_tmy_csv(truth: Truth, years: Array, offset: str | None = "0.5") -> str:
    """PVGIS typical year CSV; ``truth`` in UTC, stamps at the full hour, light ``offset`` hours after."""
    spot = truth.spot
    lines = [
        f"Latitude (decimal degrees): {spot.latitude_deg:.3f}",
        f"Longitude (decimal degrees): {spot.longitude_deg:.3f}",
        f"Elevation (m): {spot.elevation_m:.0f}",
        *([f"Irradiance Time Offset (h): {offset}"] if offset is not None else []),
        "month,year",
        *(f"{month},{int(years[truth.starts.month == month][0])}" for month in range(1, 13)),
        "time(UTC),T2m,RH,G(h),Gb(n),Gd(h),IR(h),WS10m,WD10m,SP",
    ]
    columns = (_stamps(truth, 0, years), truth.temp_degc, truth.ghi_w_m2, truth.dni_w_m2, truth.dhi_w_m2)
    lines += [
        f"{stamp},{t:.1f},80.0,{g:.1f},{n:.1f},{d:.1f},300.0,3.0,200.0,101325.0"
        for stamp, t, g, n, d in zip(*columns, strict=True)
    ]
    return "\r\n".join([*lines, "", "T2m: 2-m air temperature (degree Celsius)"]) + "\r\n"


@_kept
def pvgis_tmy_json(truth: Truth, years: Array, offset: float | None = 0.5) -> str:
    spot = truth.spot
    columns = (
        _stamps(truth, 0, years),
        *(values.tolist() for values in (truth.temp_degc, truth.ghi_w_m2, truth.dni_w_m2, truth.dhi_w_m2)),
    )
    hourly = [
        {"time(UTC)": stamp, "T2m": t, "RH": 80.0, "G(h)": g, "Gb(n)": n, "Gd(h)": d, "IR(h)": 300.0, "WS10m": 3.0,
         "WD10m": 200.0, "SP": 101325.0}
        for stamp, t, g, n, d in zip(*columns, strict=True)
    ]  # fmt: skip
    place = {"latitude": spot.latitude_deg, "longitude": spot.longitude_deg, "elevation": spot.elevation_m}
    if offset is not None:
        place["irradiance_time_offset"] = offset
    months = [{"month": m, "year": int(years[truth.starts.month == m][0])} for m in range(1, 13)]
    outputs = {"months_selected": months, "tmy_hourly": hourly}
    inputs = {"location": place, "meteo_data": {"radiation_db": "PVGIS-ERA5"}}
    return json.dumps({"inputs": inputs, "outputs": outputs, "meta": {"inputs": {}, "outputs": {}}})


POWER_UNITS = {"hourly": ("Wh/m^2", 1.0), "daily": ("kW-hr/m^2/day", 24.0 / 1000.0)}


def _power_columns(truth: Truth, step: str) -> tuple[list[str], dict[str, Array]]:
    _, factor = POWER_UNITS[step]
    frame = pd.DataFrame(
        {"ALLSKY_SFC_SW_DWN": truth.ghi_w_m2 * factor, "ALLSKY_SFC_SW_DIFF": truth.dhi_w_m2 * factor,
         "T2M": truth.temp_degc}, index=truth.starts,
    )  # fmt: skip
    if step == "daily":
        frame = frame.groupby(truth.starts.floor("D")).mean()
        return [f"{day:%Y%m%d}" for day in frame.index], {n: frame[n].to_numpy() for n in frame}
    frame["ALLSKY_SFC_SW_DNI"] = truth.dni_w_m2
    return [f"{hour:%Y%m%d%H}" for hour in frame.index], {n: frame[n].to_numpy() for n in frame}


@_kept
def power_json(truth: Truth, step: str = "hourly", clock: str = "UTC", unit: str | None = None) -> str:
    """NASA POWER's GeoJSON answer for a point."""
    keys, columns = _power_columns(truth, step)
    parameter = {
        name: {k: (None if np.isnan(v) else round(float(v), 4)) for k, v in zip(keys, values, strict=True)}
        for name, values in columns.items()
    }
    parameter = {n: {k: -999.0 if v is None else v for k, v in values.items()} for n, values in parameter.items()}
    spot = truth.spot
    document = {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [spot.longitude_deg, spot.latitude_deg, spot.elevation_m]},
        "properties": {"parameter": parameter},
        "header": {
            "title": "NASA/POWER Source Native Resolution Data",
            "fill_value": -999.0,
            "time_standard": clock,
            "start": keys[0],
            "end": keys[-1],
        },
        "parameters": {
            name: {"units": "C" if name == "T2M" else unit or POWER_UNITS[step][0], "longname": name}
            for name in columns
        },
        "times": {"data": 0.1, "process": 0.1},
    }
    return json.dumps(document)


@_kept
def power_csv(truth: Truth, step: str = "hourly", clock: str = "LST", by_doy: bool = False) -> str:
    """NASA POWER's CSV with its header block."""
    keys, columns = _power_columns(truth, step)
    spot = truth.spot
    unit = POWER_UNITS[step][0]
    head = [
        "-BEGIN HEADER-",
        "NASA/POWER Source Native Resolution Data ",
        f"Dates (month/day/year): 01/01/2001 through 12/31/2001 in {clock}",
        f"Location: latitude  {spot.latitude_deg}   longitude {spot.longitude_deg} ",
        f"elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = {spot.elevation_m} meters",
        "The value for missing source data that cannot be computed or is outside of the sources range: -999 ",
        "parameter(s): ",
        *(f"{name}     {name.title()} ({'C' if name == 'T2M' else unit}) " for name in columns),
        "-END HEADER-",
    ]
    lines = []
    for row, key in enumerate(keys):
        stamp = pd.Timestamp(int(key[:4]), int(key[4:6]), int(key[6:8]))
        parts = (
            [str(stamp.year), str(stamp.day_of_year)] if by_doy else [str(stamp.year), str(stamp.month), str(stamp.day)]
        )
        parts += [str(int(key[8:10]))] if step == "hourly" else []
        values = (-999.0 if np.isnan(v[row]) else round(float(v[row]), 4) for v in columns.values())
        lines.append(",".join([*parts, *map(str, values)]))
    names = ["YEAR", "DOY"] if by_doy else ["YEAR", "MO", "DY"]
    names += (["HR"] if step == "hourly" else []) + list(columns)
    return "\n".join([*head, ",".join(names), *lines]) + "\n"


@_kept
def plain(
    truth: Truth,
    head: str = "",
    names: str = "time,ghi,dni,dhi,temp",
    shift_h: float = 0.0,
    stamp: str = "%Y-%m-%d %H:%M",
) -> str:
    """The plain table of this program's own guide."""
    stamps = (truth.starts + pd.Timedelta(hours=shift_h)).strftime(stamp)
    columns = (stamps, truth.ghi_w_m2, truth.dni_w_m2, truth.dhi_w_m2, truth.temp_degc)
    rows = [
        ",".join([s, f"{g:.1f}", f"{n:.1f}", f"{d:.1f}", f"{t:.1f}"]) for s, g, n, d, t in zip(*columns, strict=True)
    ]
    return head + "\n".join([names, *rows]) + "\n"


def place_head(spot: Spot, offset: bool = True) -> str:
    lines = [
        f"# latitude_deg: {spot.latitude_deg}",
        f"# longitude_deg: {spot.longitude_deg}",
        f"# elevation_m: {spot.elevation_m}",
        *([f"# utc_offset_h: {spot.offset_h}"] if offset else []),
    ]
    return "\n".join(lines) + "\n"


def mixed_years(truth: Truth) -> Array:
    """A different year for each month, as in a typical year."""
    picked = np.array([2007, 2012, 2009, 2016, 2008, 2011, 2005, 2013, 2015, 2006, 2014, 2010])
    return picked[truth.starts.month.to_numpy() - 1]
