"""Times JSBSim on a maneuver that is given by its inputs, for crates/dynamics/examples/speed.rs.

    python3 speed.py FOLDER STEP_S ROUNDS < lines

First line: `put` as plant.py takes it. Then one line for each change of an input: step, elevator, aileron, rudder,
throttle, flap, brakes; last a line with the number of steps alone. Answers with the steps of a round, the seconds they
took, the seconds that as many calls of nothing took, and the 16 states at the end.

The library has no call that runs to an end: its own command line program is this loop, one call of `run` a frame, without
output, without looking anything up in between. What the calls themselves cost is measured and can be taken off. A round is
cut into seconds of flight; of each the fastest round counts, so that a busy machine does not count against the library.
"""

import sys
import time

from plant import Plant, answers

SECOND = 120

plant = Plant(sys.argv[1], float(sys.argv[2]), False)
plant.fdm.disable_output()
lines = [[float(number) for number in line.replace("put", "").split()] for line in sys.stdin]
start, changes, total = lines[0], {int(line[0]): line[1:] for line in lines[1:-1]}, int(lines[-1][0])
cuts = sorted({*changes, *range(0, total, SECOND), total})
run, nothing, clock = plant.fdm.run, plant.fdm.holding, time.perf_counter
best, empty, told = [float("inf")] * len(cuts), [float("inf")] * len(cuts), []
for _ in range(int(sys.argv[3])):
    plant.put(start)
    for part, (begin, end) in enumerate(zip(cuts, cuts[1:])):
        for command, value in zip(plant.commands, changes.get(begin, [])):
            command.set_double_value(value)
        frames = range(end - begin)
        at = clock()
        for _ in frames:
            run()
        best[part] = min(best[part], clock() - at)
        at = clock()
        for _ in frames:
            nothing()
        empty[part] = min(empty[part], clock() - at)
    told = plant.told()
answers.write(" ".join(map(repr, [total, sum(best[:-1]), sum(empty[:-1])] + told[:16])) + "\n")
