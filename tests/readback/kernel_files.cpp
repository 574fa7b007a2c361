#include "tests/readback/kernel_files.h"

#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_Printer.hxx>
#include <STEPControl_Writer.hxx>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include <unistd.h>

namespace leafstack::part21 {

std::string stepText(const TopoDS_Shape& shape) {
  Message::DefaultMessenger()->RemovePrinters(STANDARD_TYPE(Message_Printer));
  const std::filesystem::path path =
      std::filesystem::temp_directory_path() / ("part21-" + std::to_string(getpid()) + ".step");
  STEPControl_Writer writer;
  const bool good = writer.Transfer(shape, STEPControl_AsIs) == IFSelect_RetDone &&
                    writer.Write(path.c_str()) == IFSelect_RetDone;
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  std::filesystem::remove(path);
  if (!good || text.str().empty()) throw std::runtime_error("the kernel wrote no STEP file");
  return text.str();
}

}  // namespace leafstack::part21
