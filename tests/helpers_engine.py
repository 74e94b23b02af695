"""A house file's house in EnergyPlus (an open building-energy engine, pip wheel pyenergyplus-lbnl), as a dry building."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np
import pandas as pd

from tenhour.heat import build as parts
from tenhour.heat import films, ground
from tenhour.house import shapes
from tenhour.model.cover import Cover
from tenhour.model.house import House
from tenhour.sky.hours import Hours
from tenhour.year.inside.scene import cover_by_face, floor_names, scene_of
from tenhour.year.warm import heathouse

NIGHT_SOIL_M = 0.25
"""Soil that the engine solves exactly, twice the depth a day reaches; its coarse grid begins below."""
SOIL_KG_M3 = 1571.0
LINING_M2_K_W = 0.05
"""Inner part of a wall, which takes in sun by what it reflects inside."""
GAP_M, SHEET_M, SHEET_W_M_K = 0.012, 0.004, 1.0
WANTED = ("Zone Air Temperature", "Zone Ideal Loads Zone Sensible Heating Rate")


def _outward(polygon: np.ndarray, middle: np.ndarray) -> np.ndarray:
    away = shapes.newell_normal(polygon) @ (polygon.mean(axis=0) - middle) > 0
    return polygon if away else polygon[::-1]


def _corners(polygon: Iterable[Sequence[float]]) -> str:
    return ", ".join(f"{x:.5f},{y:.5f},{z:.5f}" for x, y, z in polygon)


def _triangles(polygon: np.ndarray) -> list[np.ndarray]:
    """The engine's panes have three or four corners."""
    return [polygon] if len(polygon) <= 4 else [polygon[[0, n, n + 1]] for n in range(1, len(polygon) - 1)]


def _shrunk(polygon: np.ndarray, by: float = 0.998) -> np.ndarray:
    middle = polygon.mean(axis=0)
    return middle + (polygon - middle) * by


def _glass(cover: Cover) -> list[str]:
    """Sheets of clear glass with air between, their sun by Fresnel's formulas as the light model has it."""
    index, inner = cover.refractive_index, cover.internal_trans_frac
    assert index is not None
    assert inner is not None
    once = ((index - 1.0) / (index + 1.0)) ** 2
    through = inner * (1.0 - once) ** 2 / (1.0 - (once * inner) ** 2)
    back = once + once * inner**2 * (1.0 - once) ** 2 / (1.0 - (once * inner) ** 2)
    optics = f"{through:.4f},{back:.4f},{back:.4f}"
    return [
        f"WindowMaterial:Glazing,sheet,SpectralAverage,,{SHEET_M},{optics},{optics},0,0.84,0.84,{SHEET_W_M_K};",
        f"WindowMaterial:Gas,gap,Air,{GAP_M};",
        "Construction,pane," + ",gap,".join(["sheet"] * cover.panes) + ";",
        "Material:NoMass,rim,Smooth,0.02,0.9,0.5,0.5;",
        "Construction,rim,rim;",
    ]


def _general(months: tuple[int, int]) -> list[str]:
    return [
        "Version,25.2;", "Timestep,4;", "SimulationControl,No,No,No,No,Yes;",
        "Building,house,0,Country,0.04,0.4,FullInteriorAndExterior,25,6;",
        "GlobalGeometryRules,LowerLeftCorner,CounterClockWise,World;",
        "SurfaceConvectionAlgorithm:Inside,TARP;", "SurfaceConvectionAlgorithm:Outside,DOE-2;",
        f"RunPeriod,winter,{months[0]},1,2017,{months[1]},30,2018,Sunday,No,No,No,No,No;",
        "ScheduleTypeLimits,any;", "Schedule:Constant,always,any,1;", "Schedule:Constant,type,any,1;",
        *(f"Output:Variable,*,{name},hourly;" for name in WANTED),
    ]  # fmt: skip


def _soil(house: House, weather: Path, floor: np.ndarray) -> list[str]:
    """Soil under and round the house in the engine's own grid, by the year's wave of the weather."""
    temp = pd.read_csv(weather, skiprows=8, header=None)[6].to_numpy().reshape(365, 24).mean(axis=1)
    wave = 2.0 / 365.0 * (temp * np.exp(-2j * np.pi * np.arange(365) / 365.0)).sum()
    coldest = ((np.pi - np.angle(wave)) * 365.0 / (2.0 * np.pi)) % 365.0
    heat = f"{ground.SOIL_W_M_K},{SOIL_KG_M3},{ground.SOIL_J_M3_K / SOIL_KG_M3:.1f}"
    far, span = "Site:GroundTemperature:Undisturbed:KusudaAchenbach", np.ptp(floor, axis=0)
    absorbed = 1.0 - house.faces["floor"].reflectance_frac
    return [
        f"Material,soil,Rough,{NIGHT_SOIL_M},{heat},0.9,{absorbed:.3f},0.85;", "Construction,ground,soil;",
        f"{far},far,{heat},{temp.mean():.3f},{abs(wave):.3f},{coldest:.2f};",
        f"Site:GroundDomain:Slab,earth,5,{span[0] / span[1]:.4f},5,{heat},0,50,{far},far,0.0,under,OnGrade,,No,,,,No,,,"
        "Hourly,1.6,6;",
        "SurfaceProperty:OthersideConditionsModel,under,GroundCoupledSurface;",
        f"BuildingSurface:Detailed,zfloor,Floor,ground,z,,OtherSideConditionsModel,under,NoSun,NoWind,0,{len(floor)},"
        f"{_corners(floor)};",
    ]  # fmt: skip


def _air(house: House, volume_m3: float, floor_m2: float) -> list[str]:
    """Draughts that grow with wind, vents, what follows the air at once, and the heater."""
    still, per_wind = heathouse.LEAK_PER_H[house.draughts.leak]
    still = still if house.draughts.leak_per_h is None else house.draughts.leak_per_h
    thin = float(np.exp(-house.site.elevation_m / parts.AIR_HEIGHT_M))
    quick = heathouse.QUICK_J_M2_K * floor_m2 / (parts.AIR_WH_M3_K * 3600.0 * thin * volume_m3)
    out = [
        f"Zone,z,0,0,0,0,1,1,,{volume_m3:.3f};",
        f"ZoneInfiltration:DesignFlowRate,zi,z,always,AirChanges/Hour,,,,{still},1,0,{per_wind / still:.4f},0;",
        f"ZoneVentilation:DesignFlowRate,zv,z,always,AirChanges/Hour,,,,20,Natural,0,1,1,0,0,0,{house.air.vent_degc},,"
        "100,,-100,,-100,,100,,40;",
        f"ZoneCapacitanceMultiplier:ResearchSpecial,zc,z,{quick:.3f},1,1;",
    ]
    for number, store in enumerate(house.stores):
        skin = heathouse.SKIN_M2_PER_LITRE * store.water_kg
        out += [
            f"Material,water{number},Smooth,{store.water_kg / 1000.0 / skin:.4f},6.0,1000,4186,0.9,0.01,0.01;",
            f"Construction,drums{number},water{number};", f"InternalMass,drum{number},drums{number},z,,{skin};",
        ]  # fmt: skip
    if house.air.night_set_degc is not None:
        out += [
            f"Schedule:Constant,zset,any,{house.air.night_set_degc[0]};",
            "ZoneControl:Thermostat,zt,z,type,ThermostatSetpoint:SingleHeating,zs;",
            "ThermostatSetpoint:SingleHeating,zs,zset;",
            "ZoneHVAC:EquipmentConnections,z,zeq,zin,,znode,zout;",
            "ZoneHVAC:EquipmentList,zeq,SequentialLoad,ZoneHVAC:IdealLoadsAirSystem,ideal,1,1;",
            "ZoneHVAC:IdealLoadsAirSystem,ideal,,zin,,,50,13,0.0156,0.0077,NoLimit,,,NoLimit;",
        ]
    return out


def idf(house: House, weather: Path, months: tuple[int, int]) -> str:
    """Input of the engine for a house of plain glass and light opaque walls. Beds and their leaves are left out."""
    scene, covers = scene_of(house), cover_by_face(house)
    floor = floor_names(scene)
    middle = np.concatenate([s.vertices_m for s in scene.surfaces]).mean(axis=0)
    (base,) = (s.vertices_m for s in scene.surfaces if s.name in floor)
    base = base if shapes.newell_normal(base)[2] < 0 else base[::-1]
    unpacked = heathouse.unpacked(house).build
    out = _general(months) + _soil(house, weather, base)
    out += _air(house, unpacked.volume_m3, abs(float(shapes.newell_normal(base)[2])))
    glass = next(c for c in covers.values() if c is not None and not c.opaque)
    out += _glass(glass)
    windows = {w.on: n for n, w in enumerate(house.windows, start=1)}
    for surface in scene.surfaces:
        if surface.name in floor:
            continue
        polygon, cover, face = _outward(surface.vertices_m, middle), covers.get(surface.name), house.faces[surface.name]
        normal = shapes.newell_normal(polygon)
        kind = "Roof" if normal[2] / np.linalg.norm(normal) > 0.5 else "Wall"
        glazed = cover is not None and not cover.opaque
        made = "rim" if glazed else f"wall{surface.name}"
        if not glazed:
            assert face.u_w_m2_k is not None
            inner = 1.0 - face.reflectance_frac
            resistance = 1.0 / face.u_w_m2_k - films.ROOM_FILM_M2_K_W - LINING_M2_K_W
            out += [
                f"Material:NoMass,{made},Smooth,{resistance:.4f},0.9,{heathouse.WALL_SUN_FRAC},0.5;",
                f"Material:NoMass,{made}in,Smooth,{LINING_M2_K_W},0.9,{inner},{inner};",
                f"Construction,{made},{made},{made}in;",
            ]
        out.append(
            f"BuildingSurface:Detailed,z{surface.name},{kind},{made},z,,Outdoors,,SunExposed,WindExposed,autocalculate,"
            f"{len(polygon)},{_corners(polygon)};"
        )
        panes = [_shrunk(part) for part in _triangles(polygon)] if glazed else []
        if surface.name in windows:
            panes = [_window(house, windows[surface.name] - 1)]
        out += [
            f"FenestrationSurface:Detailed,z{surface.name}pane{n},Window,pane,z{surface.name},,autocalculate,,1,"
            f"{len(part)},{_corners(part)};"
            for n, part in enumerate(panes)
        ]
    return "\n".join(out) + "\n"


def _window(house: House, number: int) -> np.ndarray:
    """A window in the south wall of a house along the x axis, seen from outside."""
    window = house.windows[number]
    assert window.on == "south"
    left, right = window.left_m, window.left_m + window.width_m
    low, high = window.sill_m, window.sill_m + window.height_m
    return np.array([[left, 0.0, low], [right, 0.0, low], [right, 0.0, high], [left, 0.0, high]])


def solve(house: House, weather: Path, folder: Path, months: tuple[int, int]) -> dict[str, np.ndarray]:
    """Run the engine; hourly columns by the names in ``WANTED``, from the first of a month to the 30th of another."""
    from pyenergyplus.api import EnergyPlusAPI

    folder.mkdir(parents=True, exist_ok=True)
    (folder / "in.idf").write_text(idf(house, weather, months))
    api = EnergyPlusAPI()
    state = api.state_manager.new_state()
    api.runtime.set_console_output_status(state, False)
    done = api.runtime.run_energyplus(state, ["-w", str(weather), "-d", str(folder), str(folder / "in.idf")])
    assert done == 0, (folder / "eplusout.err").read_text()[-3000:]
    return _columns(folder)


def _columns(folder: Path) -> dict[str, np.ndarray]:
    names: dict[int, str] = {}
    values: dict[str, list[float]] = {}
    head = True
    for line in (folder / "eplusout.eso").read_text(errors="replace").splitlines():
        if line.startswith("End of Data Dictionary"):
            head = False
            continue
        row = next(csv.reader([line.split("!")[0]]))
        if head:
            if len(row) >= 4 and row[0].isdigit() and int(row[0]) > 6:
                names[int(row[0])] = row[3].split("[")[0].strip()
        elif len(row) == 2 and row[0].isdigit() and int(row[0]) in names:
            values.setdefault(names[int(row[0])], []).append(float(row[1]))
    return {k: np.array(v) for k, v in values.items()}


def epw_text(hours: Hours, latitude_deg: float, longitude_deg: float, elevation_m: float) -> str:
    """One made-up winter as a weather file; instants at the end of each hour, sums of the hour before."""
    zone = round(longitude_deg / 15.0 * 2.0) / 2.0
    head = [
        f"LOCATION,Made up,-,-,normals,000000,{latitude_deg},{longitude_deg},{zone},{elevation_m}",
        "DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,", "COMMENTS 2,", "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
    ]  # fmt: skip
    temp, dew, wind, cloud, sky = (
        (part[0].ravel() + np.roll(part[0].ravel(), -1)) / 2.0
        for part in (hours.temp_degc, hours.dew_degc, hours.wind_m_s, hours.cloud_frac, hours.infrared_w_m2)
    )
    ghi, dni, dhi = (part[0].ravel() for part in (hours.ghi_w_m2, hours.dni_w_m2, hours.dhi_w_m2))
    day = pd.date_range("2017-01-01", periods=8760, freq="h")
    pressure = 101325.0 * (1.0 - 2.25577e-5 * elevation_m) ** 5.2559
    wet = np.clip(100.0 * 10 ** (7.5 * dew / (dew + 237.3) - 7.5 * temp / (temp + 237.3)), 1.0, 100.0)
    rows = [
        f"2017,{at.month},{at.day},{at.hour + 1},0,?,{temp[n]:.2f},{dew[n]:.2f},{wet[n]:.0f},{pressure:.0f},9999,9999,"
        f"{sky[n]:.1f},{ghi[n]:.1f},{dni[n]:.1f},{dhi[n]:.1f},999999,999999,999999,9999,0,{wind[n]:.2f},"
        f"{10 * cloud[n]:.0f},{10 * cloud[n]:.0f},9999,99999,9,999999999,0,0,0,88,999,999,99"
        for n, at in enumerate(day)
    ]
    return "\n".join([*head, *rows]) + "\n"
