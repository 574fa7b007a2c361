#!/usr/bin/env python3
"""Adds a cost sheet up anew, to the cent, with Python's decimal arithmetic.

    cost_sheet.py PRICES.json FOLDER [FOLDER ...]

Each FOLDER is one that `leafstack build --prices PRICES.json` wrote. Shares nothing with the program
but the files: quantities come from the other tables, prices from the price list. Ends with 0 where
every line and sum agrees, else tells what does not.
"""
import csv
import json
import os
import re
import sys
from collections import defaultdict
from decimal import ROUND_HALF_UP, Decimal

CENT, MILLI = Decimal("0.01"), Decimal("0.001")


def rounded(value, unit):
    return value.quantize(unit, rounding=ROUND_HALF_UP)


def rows_of(folder, name):
    with open(os.path.join(folder, "tables", name + ".csv"), encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def price_list(path):
    with open(path, encoding="utf-8") as file:
        text = re.sub(r"^\s*//.*$", "", file.read(), flags=re.M)
    return json.loads(text, parse_float=Decimal, parse_int=Decimal)


def entry(prices, pointer):
    node = prices
    for key in pointer.split("/")[1:]:
        node = node[key.replace("~1", "/").replace("~0", "~")]
    return node


def counts_of(folder):
    """What the other tables count, by what the sheet calls it; each with how far rounding there may
    put it off."""
    found = {}
    stock = rows_of(folder, "stock-plan")
    bars = {}
    for row in stock:
        bars[(row["material"], row["section"], row["bar"], row["stock_mm"])] = Decimal(row["stock_mm"] or 0)
    metres = defaultdict(Decimal)
    for (_, section, _, _), length in bars.items():
        metres[section] += length / 1000
    for section, length in metres.items():
        found[("sections", section, "m")] = (length, Decimal("0.001"))
    cut = {row["mark"]: row for row in rows_of(folder, "cut-list")}
    cuts = sum(1 for row in stock if row["mark"])
    found[("work", "cut", "piece")] = (Decimal(cuts), Decimal(0))
    found[("work", "drill", "hole")] = (sum(Decimal(row["quantity"]) for row in rows_of(folder, "cutouts")), Decimal(0))
    weld = [row for row in rows_of(folder, "welds") if row["mark"].startswith("W")]
    found[("work", "weld", "m")] = (sum(Decimal(row["length_total_mm"]) for row in weld) / 1000,
                                    Decimal("0.0001") * len(weld) + MILLI)
    panels = sum(1 for row in rows_of(folder, "packing") if row["what"].startswith("panel "))
    for what in ("assemble", "install"):
        found[("work", what, "panel")] = (Decimal(panels), Decimal(0))
    ropes = rows_of(folder, "ropes")
    if ropes:
        found[("work", "rope", "rope")] = (Decimal(len(ropes)), Decimal(0))
    order = rows_of(folder, "order")
    for row in order:
        if row["unit"] not in ("bar", "board", "m2", "m3") and row["marks"].split()[0] not in cut:
            key = ("bought", row["what"], row["unit"])
            before = found.get(key, (Decimal(0), Decimal(0)))[0]
            found[key] = (before + Decimal(row["quantity"]), MILLI)
    dug = [Decimal(row["quantity"]) for row in order if row["unit"] == "m3"]
    if dug:
        found[("work", "dig", "m3")] = (sum(dug), MILLI * (len(dug) + 1))
    coats = [row for row in rows_of(folder, "coating") if row["mark"]]
    zinc = [row for row in coats if row["zinc_um"]]
    if zinc:
        found[("coating", "galvanising", "kg")] = (sum(Decimal(row["mass_total_kg"]) for row in zinc),
                                                   MILLI * (len(zinc) + 1))
    powder = [row for row in coats if row["finish"].endswith("powder-coated")]
    if powder:
        found[("coating", "powder coating", "m2")] = (sum(Decimal(row["outside_total_m2"]) for row in powder),
                                                      Decimal("0.0001") * len(powder) + MILLI)
    return found


def check(prices, folder):
    wrong = []
    sheet = rows_of(folder, "cost-sheet")
    lines = [row for row in sheet if row["group"] not in ("sum", "missing")]
    sums = {row["what"].split(",")[0]: row for row in sheet if row["group"] == "sum"}
    missing = [row["what"] for row in sheet if row["group"] == "missing"]
    total = Decimal(0)
    for row in lines:
        if not row["cost"]:
            if not any(row["what"] in one for one in missing):
                wrong.append(f"{row['what']}: neither priced nor named as missing")
            continue
        quantity = Decimal(row["quantity"])
        if row["group"] == "work":
            work = entry(prices, row["priced_as"])
            rate = work.get("per_hour", prices.get("per_hour"))
            quantity = rounded(quantity * work["hours"], MILLI)
            if quantity != Decimal(row["hours"]):
                wrong.append(f"{row['what']}: {row['hours']} h, by hand {quantity}")
        else:
            rate = entry(prices, row["priced_as"])
        cost = rounded(quantity * rate, CENT)
        if cost != Decimal(row["cost"]):
            wrong.append(f"{row['what']}: {row['cost']}, by hand {cost}")
        total += cost
    margin = rounded(total * prices.get("margin_percent", Decimal(0)) / 100, CENT)
    net = total + margin
    tax = rounded(net * prices.get("tax_percent", Decimal(0)) / 100, CENT)
    for name, value in (("cost", total), ("margin", margin), ("net", net), ("tax", tax), ("gross", net + tax)):
        if Decimal(sums[name]["cost"]) != value:
            wrong.append(f"{name}: {sums[name]['cost']}, by hand {value}")
    if ("incomplete" in sums["cost"]["what"]) != bool(missing):
        wrong.append("the sum does not say whether it is complete")
    counted = counts_of(folder)
    seen = 0
    for row in lines:
        key = (row["group"], row["what"], row["unit"])
        if key in counted:
            by_hand, tolerance = counted[key]
            seen += 1
            if abs(Decimal(row["quantity"]) - by_hand) > tolerance:
                wrong.append(f"{row['what']}: {row['quantity']} {row['unit']}, in the other tables {by_hand}")
    for key in counted:
        if key[0] != "sections" and key[1] and counted[key][0] and not any(
                (row["group"], row["what"], row["unit"]) == key for row in lines):
            wrong.append(f"{key}: in the other tables, not in the sheet")
    print(f"{folder}: {len(lines)} lines, {seen} quantities beside other tables, {len(missing)} missing, "
          f"gross {sums['gross']['cost']}, {len(wrong)} wrong")
    return wrong


def main():
    prices = price_list(sys.argv[1])
    wrong = [f"{folder}: {one}" for folder in sys.argv[2:] for one in check(prices, folder)]
    print("\n".join(wrong) or "every line and sum agrees")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
