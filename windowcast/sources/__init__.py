"""Weather services: one file each, our words and SI units from the first line on."""
