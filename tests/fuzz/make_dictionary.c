/*
 * make_dictionary.c: the words of profiles, harness files and rules files for libFuzzer, from the table
 * that reads them. Printed at build time, so that no word is kept twice.
 */
#include <stdio.h>
#include <string.h>

#include "taperwright/profile.h"

static void print_word(const char *before, const char *word, size_t length, const char *behind)
{
    printf("\"%s", before);
    for (size_t k = 0; k < length; k++)
        printf(word[k] == '"' || word[k] == '\\' ? "\\%c" : "%c", word[k]);
    printf("%s\"\n", behind);
}

/* The last key of each path, as YAML and as a setting write it. */
static void print_keys(const tw_key_info *keys, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        const char *point = strrchr(keys[k].path, '.');
        const char *word = point ? point + 1 : keys[k].path;
        print_word("", word, strcspn(word, "["), ": ");
        print_word(".", word, strcspn(word, "["), "");
    }
}

int main(void)
{
    static const char *const words[] = {"mm",
                                        "cm",
                                        " in",
                                        "1/16 in",
                                        "16 swg",
                                        "20 msg",
                                        "18 ga bwg",
                                        "3 lb 2 oz",
                                        "1 mm in 60 mm",
                                        "0.6 mm per 100 mm",
                                        "30 deg",
                                        "7850 kg/m3",
                                        "80 g/m2",
                                        "520 cm2",
                                        "2 %",
                                        "5900 m/s",
                                        "yes",
                                        "mild steel",
                                        "brass",
                                        "outside",
                                        "inside",
                                        "middle",
                                        "front",
                                        "rim",
                                        "all",
                                        "strike.all",
                                        "edges.all",
                                        "forged",
                                        "flat",
                                        "round",
                                        "full",
                                        "cone",
                                        "parabola",
                                        "open",
                                        "straight",
                                        "eased",
                                        "held",
                                        "caliper",
                                        "micrometer",
                                        "ultrasonic",
                                        "even",
                                        "plane",
                                        "net",
                                        "exact",
                                        "cold rolled",
                                        "hot rolled",
                                        "sheet",
                                        "readings",
                                        "image",
                                        "raised",
                                        "[0, 0]",
                                        "\\x0A%%% readings.csv\\x0A",
                                        "\\x0A%%% part.yaml\\x0A",
                                        "\\x0A%%% map.png\\x0A",
                                        "\\x0A%%% points.csv\\x0A"};
    size_t count;
    const tw_key_info *keys = tw_profile_keys(&count);

    print_keys(keys, count);
    keys = tw_harness_keys(&count);
    print_keys(keys, count);
    keys = tw_rules_keys(&count);
    print_keys(keys, count);
    for (size_t k = 0; k < sizeof words / sizeof *words; k++)
        printf("\"%s\"\n", words[k]);
    return 0;
}
