"""Plain, true-sized meshes of the demo's other parts, made from the shapes that its heads are.

    hands    a gripping hand, closed round a rod
    metal    thirteen keys, one with too thin a shaft; the crank; the lantern
    boots    the boot, and the steel plate in its sole
    base     the base plate, a shell
    parts    which part is which solid, how fine, with how many holes through it
    files    the meshes, written once and kept

Lengths are mm at 1:6. A part lies as its row measures it: length along z, width along x, height
along y. Sizes are those of the demo's parts table; what it does not say is our own choice.
"""
