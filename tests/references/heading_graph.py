"""Reference answers for the cheapest ways among boxes with headings in steps of 22.5 degrees and a price for each bend.

Run with networkx from PyPI; writes heading_graph.json beside itself. Nothing here is shared with the program. A point is
x = a + b sqrt 2, y = c + d sqrt 2 with whole a, b, c, d, so that all sixteen headings run exactly from point to point.
Each case is written out as a plain graph whose nodes are point, heading, bends made and moves made.
"""

import json
import math
import pathlib
import random

import networkx

ROOT = math.sqrt(2.0)
# One move of each heading of the first quarter: 0, 22.5, 45 and 67.5 degrees. The tangent of 22.5 degrees is sqrt 2 - 1.
QUARTER = [(1, 0, 0, 0), (1, 0, -1, 1), (1, 0, 1, 0), (-1, 1, 1, 0)]


def turned(move, quarters):
    for _ in range(quarters):
        a, b, c, d = move
        move = (-c, -d, a, b)
    return move


MOVES = [turned(QUARTER[h % 4], h // 4) for h in range(16)]


def place(point):
    a, b, c, d = point
    return a + b * ROOT, c + d * ROOT


def blocked(boxes, point, move):
    """Whether the middle or the end of a move lies in a box."""
    (x, y), (dx, dy) = place(point), place(move)
    for share in (0.5, 1.0):
        px, py = x + share * dx, y + share * dy
        if any(x0 < px < x1 and y0 < py < y1 for x0, y0, x1, y1 in boxes):
            return True
    return False


def least(case):
    """The least cost from the origin, heading 0, to the goal point; None if there is no way."""
    prices = {int(steps): price for steps, price in case["bends"].items()}
    graph = networkx.DiGraph()
    start = ((0, 0, 0, 0), 0, 0, 0)
    graph.add_node(start)
    seen, work = {start}, [start]
    while work:
        node = work.pop()
        point, heading, bends, made = node
        if list(point) == case["goal"]:
            graph.add_edge(node, "end", weight=0.0)
        if made == case["most_moves"]:
            continue
        for steps in (0, *(sign * s for s in prices for sign in (1, -1))):
            count = bends + (steps != 0)
            if count > case["most_bends"]:
                continue
            way = (heading + steps) % 16
            move = MOVES[way]
            if blocked(case["boxes"], point, move):
                continue
            after = (tuple(p + m for p, m in zip(point, move)), way, count, made + 1)
            cost = math.hypot(*place(move)) + (prices[abs(steps)] if steps else 0.0)
            graph.add_edge(node, after, weight=cost)
            if after not in seen:
                seen.add(after)
                work.append(after)
    if "end" not in graph:
        return None
    return networkx.shortest_path_length(graph, start, "end", weight="weight")


def main():
    dice = random.Random(20261126)
    cases = []
    for _ in range(40):
        moves, heading, point = dice.randint(4, 6), 0, (0, 0, 0, 0)
        for _ in range(moves):
            if dice.random() < 0.4:
                heading = (heading + dice.choice([-4, -2, -1, 1, 2, 4])) % 16
            point = tuple(p + m for p, m in zip(point, MOVES[heading]))
        boxes = []
        for _ in range(dice.randint(1, 3)):
            x, y = dice.uniform(0.3, 4.0), dice.uniform(-2.0, 2.0)
            boxes.append([x, y, x + dice.uniform(0.3, 1.2), y + dice.uniform(0.3, 1.2)])
        bends = {"1": dice.choice([0.25, 1.0]), "2": dice.choice([0.5, 1.0]), "4": dice.choice([0.75, 2.5])}
        case = {"goal": list(point), "boxes": boxes, "bends": bends, "most_bends": 3, "most_moves": 7}
        case["least"] = least(case)
        cases.append(case)
    made = {"library": f"networkx {networkx.__version__}", "cases": cases}
    out = pathlib.Path(__file__).with_suffix(".json")
    out.write_text(json.dumps(made, indent=1) + "\n")
    print(sum(c["least"] is not None for c in cases), "of", len(cases), "have a way")


main()
