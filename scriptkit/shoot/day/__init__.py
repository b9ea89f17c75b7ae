"""The day of the shoot: what a kitchen allows, the shortest schedule, twins, the order of the shots."""
