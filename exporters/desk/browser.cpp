#include "exporters/desk/browser.h"

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>
#include <csignal>

#include <cstdlib>
#include <fstream>
#include <iterator>
#include <vector>

namespace leafstack::desk {
namespace {

/// Windows' Linux subsystem, where the browser is Windows' own.
bool isUnderWindows() {
  std::ifstream about("/proc/version");
  const std::string text{std::istreambuf_iterator<char>(about), std::istreambuf_iterator<char>()};
  return text.find("icrosoft") != std::string::npos;
}

bool isSet(const char* name) {
  const char* const value = std::getenv(name);
  return value != nullptr && *value != '\0';
}

/// Started without our signals held back, and with nothing to read or to write to.
bool started(std::vector<std::string> words) {
  std::vector<char*> arguments;
  for (std::string& word : words) {
    arguments.push_back(word.data());
  }
  arguments.push_back(nullptr);
  posix_spawn_file_actions_t files;
  posix_spawn_file_actions_init(&files);
  posix_spawn_file_actions_addopen(&files, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&files, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
  posix_spawn_file_actions_addopen(&files, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
  posix_spawnattr_t how;
  posix_spawnattr_init(&how);
  sigset_t none;
  sigemptyset(&none);
  posix_spawnattr_setsigmask(&how, &none);
  // A group of its own: Ctrl-C ends the desk and not the browser.
  posix_spawnattr_setpgroup(&how, 0);
  posix_spawnattr_setflags(&how, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETPGROUP);
  pid_t child = 0;
  const int failed =
      posix_spawnp(&child, words.front().c_str(), &files, &how, arguments.data(), environ);
  posix_spawn_file_actions_destroy(&files);
  posix_spawnattr_destroy(&how);
  return failed == 0;
}

}  // namespace

bool showInBrowser(const std::string& address) {
  if (isUnderWindows()) {
    return started({"wslview", address}) || started({"cmd.exe", "/c", "start", address});
  }
  return (isSet("DISPLAY") || isSet("WAYLAND_DISPLAY")) && started({"xdg-open", address});
}

}  // namespace leafstack::desk
