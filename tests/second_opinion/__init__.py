"""A second opinion on whole plans, written from README and the manual alone.

Nothing here imports the package but ``ask``, which hands files to it and takes
plan.json back. Jobs are made up from a seed (``jobs``), written as a person
types them (``typed``), cut and paid for by rules of their own (``shop``,
``cutting``), and their least cost is found by listing every pattern and a plain
integer program (``optimum``). ``judging`` holds a plan.json against all that.
Lengths are whole nanometres, money is whole millionths.
"""
