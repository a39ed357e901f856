/* files_internal.h: shared inside the files room. */
#ifndef TW_FILES_INTERNAL_H
#define TW_FILES_INTERNAL_H

#include "taperwright/files.h"

/** @return plain words for an errno, the same in every locale and thread; NULL when unknown. */
const char *tw_errno_text(int number);
/** @brief Set an error that names a file and what the system said of it. */
tw_status tw_file_fail(tw_error *err, tw_status status, const char *path, const char *what,
                       int number);

#endif
