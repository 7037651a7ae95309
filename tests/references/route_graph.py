"""Reference answers for the cheapest ways among boxes with a price for each turn and a limit on turns.

Run with networkx from PyPI; writes route_graph.json beside itself. Nothing here is shared with the program: each grid is
written out as a plain graph whose nodes are cell, heading and turns made, and networkx finds the shortest path in it.
"""

import json
import pathlib
import random

import networkx

WAYS = [(1, 0), (0, 1), (-1, 0), (0, -1)]


def least(rows, turn, most):
    """The least cost from the first cell to the last: 1 a cell, `turn` for each turn, at most `most` turns; None if no way."""
    high, wide = len(rows), len(rows[0])
    graph = networkx.DiGraph()
    for y in range(high):
        for x in range(wide):
            for way, (dx, dy) in enumerate(WAYS):
                to = (x + dx, y + dy)
                if not (0 <= to[0] < wide and 0 <= to[1] < high):
                    continue
                if rows[y][x] == "#" or rows[to[1]][to[0]] == "#":
                    continue
                for before in range(4):
                    if (before + 2) % 4 == way:
                        continue
                    bends = before != way
                    for made in range(most + 1 - bends):
                        graph.add_edge(((x, y), before, made), (to, way, made + bends), weight=1 + turn * bends)
    for way in range(4):
        graph.add_edge("start", ((0, 0), way, 0), weight=0)
        for made in range(most + 1):
            graph.add_edge(((wide - 1, high - 1), way, made), "end", weight=0)
    try:
        return networkx.shortest_path_length(graph, "start", "end", weight="weight")
    except networkx.NetworkXNoPath:
        return None


def main():
    dice = random.Random(20260714)
    grids = []
    for _ in range(80):
        wide, high = dice.randint(4, 9), dice.randint(4, 9)
        cells = [["."] * wide for _ in range(high)]
        for _ in range(dice.randint(2, 6)):
            x, y = dice.randrange(wide), dice.randrange(high)
            for j in range(y, min(high, y + dice.randint(1, 3))):
                for i in range(x, min(wide, x + dice.randint(1, 3))):
                    cells[j][i] = "#"
        cells[0][0] = cells[-1][-1] = "."
        rows = ["".join(row) for row in cells]
        turn, most = dice.choice([0.0, 0.5, 2.0, 7.25]), dice.randint(1, 4)
        grids.append({"rows": rows, "turn": turn, "most_turns": most, "least": least(rows, turn, most)})
    made = {"library": f"networkx {networkx.__version__}", "grids": grids}
    out = pathlib.Path(__file__).with_suffix(".json")
    out.write_text(json.dumps(made, indent=1) + "\n")
    print(sum(g["least"] is not None for g in grids), "of", len(grids), "have a way")


main()
