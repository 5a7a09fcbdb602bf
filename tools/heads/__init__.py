"""The demo's heads, made from formulas: an invented man of 61 in five expressions.

    fields    solids as distances, asked for a block of places at once
    curves    smooth curves through points
    shapes    eggs, ropes, rods, hills and creases, from which all is melted together
    warps     what moves a finished head: lopsidedness, a sculptor's hand, faults on purpose
    person    the numbers of the man and of his expressions
    bones nose eyes mouth teeth ears necks age covers      one feature each
    head      the person in one expression, as a solid
    landmarks where the landmarks of that solid lie
    sculpts   the demo's sculpts: which head, which bore, which faults
    surface   from a solid to a closed mesh
    files     the meshes and their landmarks, written once and kept

Lengths are full-size mm until a file is written; x to the figure's left, y up, z forward.
"""
