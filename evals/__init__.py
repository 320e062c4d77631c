"""Question sets with expected outcomes, their runner, and the runs for robustness, speed and calibration."""
