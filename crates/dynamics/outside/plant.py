"""Flies an airframe that `dynamics::outside::write` has written in JSBSim, for whoever asks through stdin and stdout.

    python3 plant.py FOLDER STEP_S [flat]

FOLDER holds aircraft/airframe/airframe.xml; with `flat` also flat.xml, an earth like that of our own model. One line of
numbers in, one line of numbers out, SI, radians, body axes forward, right, down:

    put  16 states, 5 surfaces                      sets the state, works out its rates
    air  wind toward north, east, down, rolling of the gust, density (0: the library's own)   for what comes next
    step elevator, aileron, rudder, throttle, flap, brakes  one step; pilot's inputs
    rates                                           works the rates out anew in the air that was set

The answer is always the same: 16 states, 5 surfaces, force over mass in g (3), true airspeed, angle of attack, sideslip,
density, lift coefficient, thrust, torque of the engine, 1 on wheels, accelerations along and about the body axes (6),
rate of the propeller, what the attached shares tend to (2). Position is north, east, down of where `put` said, height
above sea level. `error WORDS` when something is wrong.

Needs jsbsim 1.3.3 (`.ci/jsbsim` installs it). States are as in crates/dynamics/src/state.rs.
"""

import math
import os
import sys
import xml.etree.ElementTree as tree

# What the library prints of itself must not mix with the answers.
answers = os.fdopen(os.dup(1), "w", buffering=1)
os.dup2(2, 1)
os.environ["JSBSIM_DEBUG"] = "0"

import jsbsim  # noqa: E402  only now: it talks when it is loaded

FT = 0.3048
LAT, LON = math.radians(45.0), 0.0
SURFACES = ["elevator", "aileron", "rudder", "throttle", "flap"]
FELT = [
    ("own/tas", 1.0), ("aero/alpha-rad", 1.0), ("aero/beta-rad", 1.0), ("own/density", 1.0), ("own/lift", 1.0),
    ("own/thrust", 1.0), ("own/driven", 1.0),
]
RATES = [
    ("accelerations/udot-ft_sec2", FT), ("accelerations/vdot-ft_sec2", FT), ("accelerations/wdot-ft_sec2", FT),
    ("accelerations/pdot-rad_sec2", 1.0), ("accelerations/qdot-rad_sec2", 1.0), ("accelerations/rdot-rad_sec2", 1.0),
    ("own/spin-rate", 1.0), ("own/tends-to-left", 1.0), ("own/tends-to-right", 1.0),
]
STATES = [
    ("velocities/u-fps", FT), ("velocities/v-fps", FT), ("velocities/w-fps", FT), ("velocities/p-rad_sec", 1.0),
    ("velocities/q-rad_sec", 1.0), ("velocities/r-rad_sec", 1.0), ("own/spin", 1.0), ("own/attached-left", 1.0),
    ("own/attached-right", 1.0),
]


class Plant:
    def __init__(self, folder, step_s, flat):
        self.fdm = jsbsim.FGFDMExec(folder)
        self.fdm.set_debug_level(0)
        self.axes = (6378137.0, 6356752.314245)
        if flat:
            planet = os.path.join(folder, "flat.xml")
            self.fdm.load_planet(planet, False)
            root = tree.parse(planet).getroot()
            self.axes = (float(root.find("semimajor_axis").text), float(root.find("semiminor_axis").text))
        if not self.fdm.load_model("airframe"):
            raise RuntimeError("the airframe was not read")
        self.fdm.set_dt(step_s)
        self.air = [0.0] * 5
        # Properties by their nodes: looking up a name takes longer than reading a number.
        node = self.fdm.get_property_manager().get_node
        self.place = [node(f"position/{name}") for name in ("lat-geod-rad", "long-gc-rad", "h-sl-ft")]
        self.attitude = [node(f"attitude/{name}-rad") for name in ("phi", "theta", "psi")]
        self.moving = [(node(name), unit) for name, unit in STATES]
        self.surfaces = [node(f"own/{name}") for name in SURFACES]
        self.commands = [node(f"own/cmd-{name}") for name in SURFACES]
        self.commands += [node(f"fcs/{name}-cmd-norm", True) for name in ("left-brake", "right-brake", "steer")]
        self.forces = [node(f"forces/fb{axis}-total-lbs") for axis in "xyz"]
        self.weight, self.wheels = node("inertia/weight-lbs"), node("forces/fbz-gear-lbs")
        self.felt = [(node(name), unit) for name, unit in FELT + RATES]
        self.wind = [node(f"atmosphere/wind-{name}-fps", True) for name in ("north", "east", "down")]
        self.roll, self.density = node("own/gust-roll"), None

    def radii(self, lat):
        """Of the meridian and across it, m."""
        a, b = self.axes
        e2 = 1.0 - (b / a) ** 2
        under = 1.0 - e2 * math.sin(lat) ** 2
        return a * (1.0 - e2) / under**1.5, a / math.sqrt(under)

    def put(self, row):
        fdm, state, surfaces = self.fdm, row[:16], row[16:21]
        north, east, down = state[:3]
        along, across = self.radii(LAT)
        lat = LAT + north / along
        bank, pitch, heading = attitude(*state[6:10])
        # The angle of attack of the start must not see the wind of an earlier flight.
        for wind in self.wind:
            wind.set_double_value(0.0)
        for name, value in [
            ("lat-geod-rad", lat), ("long-gc-rad", LON + east / (across * math.cos(LAT))), ("h-sl-ft", -down / FT),
            ("phi-rad", bank), ("theta-rad", pitch), ("psi-true-rad", heading),
            ("u-fps", state[3] / FT), ("v-fps", state[4] / FT), ("w-fps", state[5] / FT),
            ("p-rad_sec", state[10]), ("q-rad_sec", state[11]), ("r-rad_sec", state[12]),
        ]:
            fdm[f"ic/{name}"] = value
        fdm["own/spin"], fdm["own/attached-left"], fdm["own/attached-right"] = state[13:16]
        for name, value in zip(SURFACES, surfaces):
            fdm[f"own/{name}"] = value
            fdm[f"own/cmd-{name}"] = value
        fdm.run_ic()
        return self.rates()

    def rates(self):
        """The rates at the state: without time, until the rate of the angle of attack is that of this frame."""
        self.breathe()
        self.fdm.suspend_integration()
        for _ in range(4):
            self.fdm.run()
        self.fdm.resume_integration()
        return self.told()

    def breathe(self):
        for wind, value in zip(self.wind, self.air):
            wind.set_double_value(value / FT)
        self.roll.set_double_value(self.air[3])
        if self.air[4] > 0.0:
            if self.density is None:
                self.density = self.fdm.get_property_manager().get_node("atmosphere/override/density", True)
            self.density.set_double_value(self.air[4] / 515.378818)

    def step(self, row):
        self.breathe()
        # The brakes are one lever, the nose wheel goes with the pedals.
        for command, value in zip(self.commands, row + [row[5], row[2]]):
            command.set_double_value(value)
        self.fdm.run()
        return self.told()

    def told(self):
        lat, lon, height = (node.get_double_value() for node in self.place)
        along, across = self.radii(LAT)
        moving = [node.get_double_value() * unit for node, unit in self.moving]
        felt = [node.get_double_value() * unit for node, unit in self.felt]
        weight, parts = self.weight.get_double_value(), len(FELT)
        return (
            [(lat - LAT) * along, (lon - LON) * across * math.cos(lat), -height * FT]
            + moving[:3]
            + quaternion(*(node.get_double_value() for node in self.attitude))
            + moving[3:]
            + [node.get_double_value() for node in self.surfaces]
            + [node.get_double_value() / weight for node in self.forces]
            + felt[:parts]
            + [float(self.wheels.get_double_value() != 0.0)]
            + felt[parts:]
        )


def quaternion(bank, pitch, heading):
    """From body to earth, scalar first."""
    sb, cb, sp, cp = math.sin(bank / 2), math.cos(bank / 2), math.sin(pitch / 2), math.cos(pitch / 2)
    sh, ch = math.sin(heading / 2), math.cos(heading / 2)
    return [
        cb * cp * ch + sb * sp * sh, sb * cp * ch - cb * sp * sh, cb * sp * ch + sb * cp * sh,
        cb * cp * sh - sb * sp * ch,
    ]


def attitude(w, x, y, z):
    """Bank, pitch, heading."""
    return (
        math.atan2(2 * (y * z + w * x), 1 - 2 * (x * x + y * y)),
        math.asin(max(-1.0, min(1.0, 2 * (w * y - x * z)))),
        math.atan2(2 * (x * y + w * z), 1 - 2 * (y * y + z * z)),
    )


def main():
    plant = Plant(sys.argv[1], float(sys.argv[2]), "flat" in sys.argv[3:])
    for line in sys.stdin:
        word, *numbers = line.split()
        row = [float(number) for number in numbers]
        if word == "air":
            plant.air = row
            continue
        told = {"put": plant.put, "step": plant.step, "rates": lambda _: plant.rates()}[word](row)
        answers.write(" ".join(map(repr, told)) + "\n")


if __name__ == "__main__":
    try:
        main()
    except Exception as error:  # whoever asks must hear of it
        answers.write(f"error {type(error).__name__}: {error}\n")
        sys.exit(1)
