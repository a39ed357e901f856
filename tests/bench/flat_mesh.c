/*
 * flat_mesh.c: the face of a profile's plate in triangles, and its layout as formed, as text for other
 * programs: "NODES TRIANGLES", then x y z u v of each node, then three nodes of each triangle.
 * `flat_mesh PROFILE.yaml NODES`
 */
#include "taperwright/blank.h"
#include "taperwright/profile.h"

#include <stdio.h>
#include <stdlib.h>

int main(int argc, char **argv)
{
    const tw_layout_options options = {.nodes = argc > 2 ? strtoul(argv[2], NULL, 10) : 0,
                                       .stock = 1};
    tw_profile *profile = NULL;
    tw_form *form = NULL;
    tw_layout *layout = NULL;
    const tw_mesh *mesh;

    if (argc < 2 || tw_profile_read(argv[1], NULL, 0, &profile, NULL) != TW_OK ||
        tw_form_build(profile, &form, NULL, NULL) != TW_OK ||
        tw_layout_as_formed(form, &options, &layout, NULL) != TW_OK) {
        fprintf(stderr, "flat_mesh: %s cannot be laid out\n", argc > 1 ? argv[1] : "nothing");
        return 1;
    }
    mesh = layout->mesh;
    printf("%zu %zu\n", mesh->node_count, mesh->triangle_count);
    for (size_t n = 0; n < mesh->node_count; n++)
        printf("%.17g %.17g %.17g %.17g %.17g\n", mesh->position[n][0], mesh->position[n][1],
               mesh->position[n][2], layout->blank[n][0], layout->blank[n][1]);
    for (size_t k = 0; k < mesh->triangle_count; k++)
        printf("%u %u %u\n", mesh->triangle[k][0], mesh->triangle[k][1], mesh->triangle[k][2]);
    tw_layout_free(layout);
    tw_form_free(form);
    tw_profile_free(profile);
    return 0;
}
