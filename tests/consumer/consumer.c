/* What a user of the library writes first: read a plate, weigh it, print grams. */
#include <stdio.h>

#include <taperwright/taperwright.h>

int main(int argc, char **argv)
{
    const tw_plate_options options = {.cells = 128};
    tw_profile *profile = NULL;
    tw_plate *plate = NULL;
    tw_error error = {0};
    tw_notes errors = {0};
    tw_status status = argc == 2 ? tw_profile_read(argv[1], NULL, 0, &profile, &errors)
                                 : tw_fail(&error, TW_ERR_USAGE, "give one profile");

    if (status == TW_OK)
        status = tw_plate_build(profile, &options, &plate, &error);
    if (status == TW_OK)
        printf("%s weighs %.0f g\n", profile->plate, plate->maps[0].weight.mass_g);
    else
        fprintf(stderr, "%s\n", errors.count ? errors.items[0].message : error.message);
    tw_plate_free(plate);
    tw_profile_free(profile);
    return tw_status_exit(status);
}
