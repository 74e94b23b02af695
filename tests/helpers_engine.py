"""Small houses for EnergyPlus (an open building-energy engine, pip wheel pyenergyplus-lbnl) and what it says of them."""

from __future__ import annotations

import csv
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

GLASS_U, GLASS_SHGC = 3.0, 0.62
WALL_M2_K_W = 2.3
SOIL = (1.2, 1571.0, 1400.0)  # W/mK, kg/m3, J/kgK: 2.2 MJ/m3K


@dataclass
class Case:
    """One house in the engine: polygons by name with what they are made of, seen from outside, counter-clockwise."""

    name: str
    glazed: dict[str, list[tuple[float, float, float]]]
    solid: dict[str, list[tuple[float, float, float]]]
    floor: list[tuple[float, float, float]]
    volume_m3: float
    set_degc: float | None = None
    water: tuple[float, float] | None = None  # kg, m2 of skin
    window: dict[str, list[tuple[float, float, float]]] = field(default_factory=dict)  # in a solid face of that name
    wall_m2_k_w: float = WALL_M2_K_W
    ach: float = 0.7


def gable(name: str, x0: float, **more: object) -> Case:
    """Glazed gable 6 x 3.6 m, eaves 1.6, ridge 2.6, north wall insulated."""
    a, b, e, r = 6.0, 3.6, 1.6, 2.6
    m = b / 2

    def p(*xyz: tuple[float, float, float]) -> list[tuple[float, float, float]]:
        return [(x + x0, y, z) for x, y, z in xyz]

    glazed = {
        "south": p((0, 0, 0), (a, 0, 0), (a, 0, e), (0, 0, e)),
        "east": p((a, 0, 0), (a, b, 0), (a, b, e), (a, 0, e)),
        "eastgable": p((a, 0, e), (a, b, e), (a, m, r)),
        "west": p((0, b, 0), (0, 0, 0), (0, 0, e), (0, b, e)),
        "westgable": p((0, b, e), (0, 0, e), (0, m, r)),
        "roofsouth": p((0, 0, e), (a, 0, e), (a, m, r), (0, m, r)),
        "roofnorth": p((a, b, e), (0, b, e), (0, m, r), (a, m, r)),
    }
    solid = {"north": p((a, b, 0), (0, b, 0), (0, b, e), (a, b, e))}
    floor = p((0, 0, 0), (0, b, 0), (a, b, 0), (a, 0, 0))
    return Case(name, glazed, solid, floor, a * b * (e + r) / 2, **more)


def box(name: str, x0: float, **more: object) -> Case:
    """Insulated box 4 x 3 x 2.4 m with one window of 3 m2 to the south."""
    a, b, h = 4.0, 3.0, 2.4

    def p(*xyz: tuple[float, float, float]) -> list[tuple[float, float, float]]:
        return [(x + x0, y, z) for x, y, z in xyz]

    solid = {
        "south": p((0, 0, 0), (a, 0, 0), (a, 0, h), (0, 0, h)),
        "east": p((a, 0, 0), (a, b, 0), (a, b, h), (a, 0, h)),
        "north": p((a, b, 0), (0, b, 0), (0, b, h), (a, b, h)),
        "west": p((0, b, 0), (0, 0, 0), (0, 0, h), (0, b, h)),
        "roof": p((0, 0, h), (a, 0, h), (a, b, h), (0, b, h)),
    }
    window = {"south": p((0.5, 0, 0.8), (3.5, 0, 0.8), (3.5, 0, 1.8), (0.5, 0, 1.8))}
    floor = p((0, 0, 0), (0, b, 0), (a, b, 0), (a, 0, 0))
    return Case(name, {}, solid, floor, a * b * h, window=window, **more)


def area_m2(polygon: list[tuple[float, float, float]]) -> float:
    """Area of a flat polygon."""
    v = np.array(polygon)
    return float(np.linalg.norm(sum(np.cross(v[i] - v[0], v[i + 1] - v[0]) for i in range(1, len(v) - 1)))) / 2


def tilt_deg(polygon: list[tuple[float, float, float]]) -> float:
    """0 facing up, 90 upright."""
    v = np.array(polygon)
    n = np.cross(v[1] - v[0], v[2] - v[0])
    return float(np.degrees(np.arccos(n[2] / np.linalg.norm(n))))


def _shrunk(polygon: list[tuple[float, float, float]], by: float = 0.998) -> list[tuple[float, float, float]]:
    v = np.array(polygon)
    c = v.mean(axis=0)
    return [tuple(c + (p - c) * by) for p in v]


def _vertices(polygon: list[tuple[float, float, float]]) -> str:
    return ", ".join(f"{x:.5f},{y:.5f},{z:.5f}" for x, y, z in polygon)


def idf(cases: list[Case], deep_degc: list[float], months: tuple[int, int], warm_days: int = 25) -> str:
    """Input of the engine: all houses as zones of one model, far from each other."""
    out = [
        "Version,25.2;", "Timestep,4;", "SimulationControl,No,No,No,No,Yes;",
        "Building,houses,0,Country,0.04,0.4,FullExterior," f"{warm_days},6;",
        "GlobalGeometryRules,LowerLeftCorner,CounterClockWise,World;",
        "SurfaceConvectionAlgorithm:Inside,TARP;", "SurfaceConvectionAlgorithm:Outside,DOE-2;",
        f"RunPeriod,winter,{months[0]},1,2017,{months[1]},28,2018,Sunday,No,No,No,No,No;"
        if months[0] > months[1] else
        f"RunPeriod,winter,{months[0]},1,2017,{months[1]},28,2017,Sunday,No,No,No,No,No;",
        "Site:GroundTemperature:BuildingSurface," + ",".join(f"{t:.2f}" for t in deep_degc) + ";",
        "ScheduleTypeLimits,any;", "Schedule:Constant,always,any,1;", "Schedule:Constant,type,any,1;",
        f"Material,soil,Rough,0.5,{SOIL[0]},{SOIL[1]},{SOIL[2]},0.9,0.85,0.85;",
        "Construction,ground,soil,soil;",
        f"WindowMaterial:SimpleGlazingSystem,glass,{GLASS_U},{GLASS_SHGC},0.7;", "Construction,pane,glass;",
        "Material:NoMass,thinwall,Smooth,0.02,0.9,0.5,0.5;", "Construction,frame,thinwall;",
        "OutputControl:Table:Style,Comma;",
    ]  # fmt: skip
    for case in cases:
        z = case.name
        out += [
            f"Zone,{z},0,0,0,0,1,1,,{case.volume_m3};",
            f"ZoneInfiltration:DesignFlowRate,{z}i,{z},always,AirChanges/Hour,,,,{case.ach},1,0,0,0;",
            f"Material:NoMass,{z}m,Smooth,{case.wall_m2_k_w},0.9,0.5,0.5;", f"Construction,{z}wall,{z}m;",
            f"ZoneCapacitanceMultiplier:ResearchSpecial,{z}c,{z},4,1,1;",
            f"BuildingSurface:Detailed,{z}floor,Floor,ground,{z},,Ground,,NoSun,NoWind,0,4,{_vertices(case.floor)};",
        ]  # fmt: skip
        for name, polygon in {**case.glazed, **case.solid}.items():
            kind = "Roof" if tilt_deg(polygon) < 60 else "Wall"
            made = "frame" if name in case.glazed else f"{z}wall"
            out.append(
                f"BuildingSurface:Detailed,{z}{name},{kind},{made},{z},,Outdoors,,SunExposed,WindExposed,autocalculate,"
                f"{len(polygon)},{_vertices(polygon)};"
            )
        windows = {n: _shrunk(p) for n, p in case.glazed.items()} | case.window
        for name, polygon in windows.items():
            out.append(
                f"FenestrationSurface:Detailed,{z}{name}pane,Window,pane,{z}{name},,autocalculate,,1,"
                f"{len(polygon)},{_vertices(polygon)};"
            )
        if case.water:
            kg, skin = case.water
            out += [
                f"Material,{z}water,Smooth,{kg / 1000 / skin:.4f},6.0,1000,4186,0.9,0.01,0.01;",
                f"Construction,{z}barrels,{z}water;",
                f"InternalMass,{z}mass,{z}barrels,{z},,{skin};",
            ]
        if case.set_degc is not None:
            out += [
                f"Schedule:Constant,{z}set,any,{case.set_degc};",
                f"ZoneControl:Thermostat,{z}t,{z},type,ThermostatSetpoint:SingleHeating,{z}s;",
                f"ThermostatSetpoint:SingleHeating,{z}s,{z}set;",
                f"ZoneHVAC:EquipmentConnections,{z},{z}eq,{z}in,,{z}node,{z}out;",
                f"ZoneHVAC:EquipmentList,{z}eq,SequentialLoad,ZoneHVAC:IdealLoadsAirSystem,{z}ideal,1,1;",
                f"ZoneHVAC:IdealLoadsAirSystem,{z}ideal,,{z}in,,,50,13,0.0156,0.0077,NoLimit,,,NoLimit;",
            ]
    for variable in (
        "Zone Air Temperature", "Zone Ideal Loads Zone Sensible Heating Rate",
        "Surface Inside Face Solar Radiation Heat Gain Rate per Area",
        "Surface Window Total Glazing Layers Absorbed Shortwave Radiation Rate",
        "Surface Outside Face Incident Solar Radiation Rate per Area",
    ):  # fmt: skip
        out.append(f"Output:Variable,*,{variable},hourly;")
    return "\n".join(out) + "\n"


def solve(
    cases: list[Case], weather: Path, folder: Path, deep_degc: list[float], months: tuple[int, int]
) -> dict[str, np.ndarray]:
    """Run the engine; hourly columns by the engine's own names."""
    from pyenergyplus.api import EnergyPlusAPI

    folder.mkdir(parents=True, exist_ok=True)
    (folder / "in.idf").write_text(idf(cases, deep_degc, months))
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
                names[int(row[0])] = f"{row[2].strip()}|{row[3].split('[')[0].strip()}"
        elif len(row) == 2 and row[0].isdigit() and int(row[0]) in names:
            values.setdefault(names[int(row[0])], []).append(float(row[1]))
    return {k: np.array(v) for k, v in values.items()}
