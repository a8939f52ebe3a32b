"""A thin-walled bar as solid finite elements (scikit-fem), to hold the beam formulas against.

Twenty-seven-node bricks, one through each wall, isotropic and elastic, small displacements; free, held in six
freedoms only. A stroke is an eigenstrain along the bar, of a whole patch; it holds itself in balance, so the
supports carry nothing.
"""

import numpy as np
import skfem
from scipy.sparse.linalg import splu
from skfem.helpers import sym_grad
from skfem.models.elasticity import linear_elasticity

POISSON = 0.33
LAME = POISSON / ((1 + POISSON) * (1 - 2 * POISSON)), 1 / (2 * (1 + POISSON))  # of modulus 1
ELEMENT = skfem.ElementVector(skfem.ElementHex2())


def bricks(along, across, up, walls):
    """Mesh of the cells of a grid whose middle lies in a wall (y0, y1, z0, z1); all in mm."""
    grid = skfem.MeshHex.init_tensor(np.array(along), np.array(across), np.array(up))
    _, y, z = grid.p[:, grid.t].mean(axis=1)
    inside = np.any([(y0 < y) & (y < y1) & (z0 < z) & (z < z1) for y0, y1, z0, z1 in walls], axis=0)
    return grid.restrict(np.flatnonzero(inside))


def heel_moved(mesh, patches, points_mm):
    """u_y and u_z, each (len(points_mm), len(patches)), of the corner y = z = 0 at places along the bar.

    patches : boxes ((x0, x1), (y0, y1), (z0, z1)) in mm that get shorter along x by unit strain.
    """
    basis = skfem.Basis(mesh, ELEMENT, intorder=4)
    free = np.setdiff1d(np.arange(basis.N), _held(basis))
    stiffness = linear_elasticity(*LAME).assemble(basis).tocsc()
    solve = splu(stiffness[free][:, free]).solve
    moved = np.zeros((basis.N, len(patches)))
    moved[free] = np.column_stack([solve(_shortening(mesh, patch)[free]) for patch in patches])
    return tuple(_along_the_corner(basis, axis, moved, points_mm) for axis in (1, 2))


def _shortening(mesh, patch):
    """Load of an eigenstrain -1 along x in the cells whose middle lies in the box."""
    middle = mesh.p[:, mesh.t].mean(axis=1)
    inside = np.all([(low < m) & (m < high) for m, (low, high) in zip(middle, patch, strict=True)], axis=0)
    stress = [-(LAME[0] + 2 * LAME[1]), -LAME[0], -LAME[0]]
    form = skfem.LinearForm(lambda v, w: sum(stress[i] * sym_grad(v)[i, i] for i in range(3)))
    return form.assemble(skfem.Basis(mesh, ELEMENT, intorder=4, elements=np.flatnonzero(inside)))


def _held(basis):
    """Six freedoms of three points: no more than hold a free body."""
    places = basis.doflocs[:, basis.split_indices()[0]]
    far, wide = places[0].max(), places[2].max()
    held = []
    for point, axes in (((0, 0, 0), (0, 1, 2)), ((far, 0, 0), (1, 2)), ((0, 0, wide), (1,))):
        nearest = int(np.argmin(np.abs(places - np.array(point)[:, None]).sum(axis=0)))
        held += [basis.split_indices()[axis][nearest] for axis in axes]
    return held


def _along_the_corner(basis, axis, moved, points_mm):
    dofs = basis.split_indices()[axis]
    places = basis.doflocs[:, dofs]
    corner = np.flatnonzero((places[1] == 0.0) & (places[2] == 0.0))
    corner = corner[np.argsort(places[0, corner])]
    at = places[0, corner]
    return np.column_stack([np.interp(points_mm, at, column[dofs[corner]]) for column in moved.T])
