"""Numbers with units: kinds, amounts, the one parser and the one formatter."""
