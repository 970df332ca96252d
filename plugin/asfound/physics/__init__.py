"""Floor 3: models of heat, current, flow, energy and gas. Pure; what a model gives is plausible or not, never a
diagnosis."""
