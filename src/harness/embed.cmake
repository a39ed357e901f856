# embed.cmake: a text file as a C array. cmake -DFROM=originals.csv -DTO=originals_text.c -P embed.cmake
file(READ ${FROM} bytes HEX)
file(SIZE ${FROM} size)
string(REGEX REPLACE "(..)" "0x\\1," bytes "${bytes}")
string(REPEAT "0x..," 16 line)
string(REGEX REPLACE "(${line})" "\\1\n" bytes "${bytes}")
get_filename_component(name ${FROM} NAME)
file(WRITE ${TO} "/* Made from ${name}; do not edit. */
#include \"harness/originals_text.h\"

const size_t tw_originals_bytes = ${size};
const unsigned char tw_originals_data[] = {
${bytes}0x00};
")
