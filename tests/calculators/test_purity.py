"""The calculators stay a plain library: the standard library only, and colour science only when asked for."""

import subprocess
import sys

SCRIPT = """
import sys
from assistant.calculators import bunches, colour, cost, coverage, longevity, mixing, refresh, substitutes, units, water
heavy = {m.split('.')[0] for m in sys.modules} & {'numpy', 'scipy', 'coloraide', 'pydantic', 'yaml', 'torch', 'textual'}
ours = sorted(m for m in sys.modules if m.startswith('assistant.') and not m.startswith('assistant.calculators'))
print(sorted(heavy), ours)
colour.delta_e_2000('#000000', '#ffffff')
print('coloraide' in sys.modules)
"""


def test_imports():
    run = subprocess.run([sys.executable, "-c", SCRIPT], capture_output=True, text=True, check=True)
    assert run.stdout.splitlines() == ["[] []", "True"]
