"""The oven: geometry, flame, walls, gas balance, state, steps in time and the heat field over the stone."""
