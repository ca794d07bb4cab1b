"""Plain numerics of heat on arrays: materials, columns, view factors, radiosity, combustion, flames."""
