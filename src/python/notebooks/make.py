"""Writes the notebooks from the cells below: ``python make.py``."""

from pathlib import Path

import nbformat
import nbformat.v4 as nb

L_PER_MIN = "L_PER_MIN = 1e-3 / 60"
CASES = {
    "case-fry-raceway": [
        "# A fry raceway\n\nThe case of the book's page *A fry raceway*, in Python. Run it in the folder of the case's design file.",
        f"import risewater as rw\n\n{L_PER_MIN}\nfound = rw.size(\"fry-raceway.toml\")\nbest = found[\"designs\"][0]\nprint(f\"Best: {{best['lifts']}} lifts of {{best['pipe']}}, air let in {{best['submergence_m']:.2f}} m deep\")\nprint(f\"{{best['each']['water_flow_m3_per_s'] / L_PER_MIN:.2f}} L/min\")",
        "The designs as a table, best first.",
        "found.to_pandas()[[\"pipe\", \"lifts\", \"submergence_m\", \"each_air_mass_flow_kg_per_s\"]].head()",
        "One lift alone takes a wider pipe.",
        "alone = rw.size(\"fry-raceway.toml\", limits_max_lifts=1)[\"designs\"][0]\nprint(f\"Best: {alone['lifts']} lift of {alone['pipe']}, air let in {alone['submergence_m']:.2f} m deep\")\nprint(f\"{alone['each']['water_flow_m3_per_s'] / L_PER_MIN:.2f} L/min each\")",
        "The air of one of the six risers, with a plain end and through an elbow.",
        "place = {\"riser_pipe\": best[\"pipe\"], \"riser_submergence_m\": 0.45, \"riser_lift_m\": 0.05}\nplain = rw.air_for(\"fry-raceway.toml\", water_flow_m3_per_s=15 * L_PER_MIN, interval=True, **place)\nelbow = rw.flow(\"fry-raceway.toml\", air_mass_flow_kg_per_s=plain.air_mass_flow_kg_per_s, riser_outlet=\"elbow\", **place)\nlow, high = plain.interval_low_m3_per_s / L_PER_MIN, plain.interval_high_m3_per_s / L_PER_MIN\nprint(f\"{plain.water_flow_m3_per_s / L_PER_MIN:.2f} L/min; four times in five between {low:.1f} and {high:.0f} L/min\")\nprint(f\"{plain.air_mass_flow_kg_per_s * 3600:.4f} kg/h\")\nprint(f\"{elbow.water_flow_m3_per_s / L_PER_MIN:.2f} L/min\")",
    ],
    "case-bench-trial": [
        "# A bench trial\n\nThe case of the book's page *A bench trial*, in Python. Run it in the folder of the case's files.",
        f"import risewater as rw\n\n{L_PER_MIN}\nruns = rw.reduce(\"bench.csv\", \"rig.toml\").to_pandas()\nfor run in runs.itertuples():\n    print(f\"{{run.run}} one of twelve {{run.submergence_m:.2f}} m {{run.lift_m:.2g}}\")",
        "What the trial says of the rig.",
        "fit = rw.fit(\"bench.csv\", \"rig.toml\")\nchange = 1 - fit[\"calibrated_over_predicted\"]\nprint(f\"{fit['points']} points: the rig gives {change:.0%} less water than predicted.\".replace(\"%\", \" %\"))\nwidth = fit[\"width_after\"]\nprint(f\"Sure to -{100 * width['below']:.1f} to +{100 * width['above']:.1f} %, four times in five\")\nfor run in fit[\"runs\"]:\n    print(f\"{run['measured_water_flow_m3_per_s'] / L_PER_MIN:#.4g} {run['predicted_water_flow_m3_per_s'] / L_PER_MIN:#.4g} {run['calibrated_water_flow_m3_per_s'] / L_PER_MIN:#.4g}\")",
        "The rig at a lift between those of the trial, with what it has taught.",
        "point = rw.interval(\"rig.toml\", calibration=fit, riser_submergence_m=0.85, riser_lift_m=0.16, air_flow_m3_per_s=12 * L_PER_MIN)\nprint(f\"{point.water_flow_m3_per_s / L_PER_MIN:.2f} L/min; four times in five between {point.interval_low_m3_per_s / L_PER_MIN:.1f} and {point.interval_high_m3_per_s / L_PER_MIN:.1f} L/min\")",
    ],
}


def main():
    for name, cells in CASES.items():
        book = nb.new_notebook()
        for number, text in enumerate(cells):
            cell = nb.new_code_cell if number % 2 else nb.new_markdown_cell
            book.cells.append(cell(text, id=f"cell-{number}"))
        path = Path(__file__).with_name(f"{name}.ipynb")
        path.write_text(nbformat.writes(book) + "\n")


if __name__ == "__main__":
    main()
