// The thin program over the library: everything it does is in cli.
#include "cli/cli.h"

int main(int argc, char** argv) {
    return stoutloom::cli::run(argc, argv);
}
