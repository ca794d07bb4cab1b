"""How finely an oven is divided."""

from __future__ import annotations

from dataclasses import dataclass

from hearthtide.errors import PhysicalRangeError


@dataclass(frozen=True)
class Grid:
    """`cells` across the hearth's longer side (even: radiosity works on 2 x 2 blocks of whole cells),
    `rings` of roof patches from the floor up and `sectors` round the hearth, nodes through the hot layer
    and each further layer, and the growth of nodes away from the hot face.
    """

    cells: int
    rings: int
    sectors: int
    hot_nodes: int
    further_nodes: int
    growth: float

    def __post_init__(self) -> None:
        if self.cells % 2 or self.cells < 8 or self.rings < 3 or self.sectors < 8:
            raise PhysicalRangeError(
                f"grid of {self.cells} cells, {self.rings} rings, {self.sectors} sectors "
                "(expected an even number of cells >= 8, rings >= 3, sectors >= 8)"
            )


NOMINAL = Grid(cells=32, rings=8, sectors=24, hot_nodes=12, further_nodes=6, growth=1.2)
QUICK = Grid(cells=16, rings=5, sectors=12, hot_nodes=6, further_nodes=3, growth=1.4)
