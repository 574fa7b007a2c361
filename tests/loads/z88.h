// Z88 (Debian's package, a general finite element program) as a judge of frames: its beam in space
// is thin, so shear deformation is to be left out of what it is compared with.
#pragma once

#include <gtest/gtest.h>

#include <array>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "generator/loads/frame/space_frame.h"

namespace leafstack::frame {

/// Six figures of one end of one member, in the frame's axes.
using EndForces = std::vector<std::array<Six, 2>>;

struct Judged {
  std::vector<Six> moved;
  EndForces ends;
};

/// Loads as forces and moments at nodes alone.
inline std::vector<Six> atNodes(const Frame& frame, const Loads& loads) {
  std::vector<Six> out(frame.nodes.size(), kFree);
  for (const auto& [node, force] : loads.on_nodes) {
    for (int i = 0; i < 6; ++i) {
      out[node][i] += force[i];
    }
  }
  for (const auto& [index, q] : loads.along_members) {
    const Member& member = frame.members[index];
    const double length = lengthMm(frame, member);
    const Vec3 along = minus(frame.nodes[member.b].at, frame.nodes[member.a].at);
    const Vec3 moment = cross(along, q);  // of q L / 12, times L
    for (int i = 0; i < 3; ++i) {
      out[member.a][i] += q[i] * length / 2;
      out[member.b][i] += q[i] * length / 2;
      out[member.a][i + 3] += moment[i] * length / 12;
      out[member.b][i + 3] -= moment[i] * length / 12;
    }
  }
  return out;
}

class Z88 {
 public:
  Z88() {
    std::string pattern = (std::filesystem::temp_directory_path() / "z88-XXXXXX").string();
    if (mkdtemp(pattern.data()) == nullptr) {
      throw std::runtime_error("no temporary folder");
    }
    folder_ = pattern;
  }
  ~Z88() { std::filesystem::remove_all(folder_); }

  Judged solve(const Frame& frame, const std::vector<Six>& forces) {
    writeStructure(frame);
    writeHolds(frame, forces);
    write("z88i3.txt", "0 0 0\n");
    write("z88.dyn",
          "DYNAMIC START\nENGLISH\nNET START\nMAXSE 40000\nMAXESS 800\nMAXKSS 4000\nMAXAN 15\n"
          "NET END\nCOMMON START\nMAXGS 9000000\nMAXKOI 270000\nMAXK 46000\nMAXE 27000\n"
          "MAXNFG 137000\nMAXNEG 4000\nMAXPR 1000\nMAXRBD 40000\nMAXIEZ 9000000\nMAXGP 500000\n"
          "COMMON END\nCUTKEE START\nMAXGRA 200\nMAXNDL 1000\nCUTKEE END\nDYNAMIC END\n");
    const std::string command =
        "cd " + folder_.string() + " && z88f -c >/dev/null 2>&1 && z88e >/dev/null 2>&1";
    EXPECT_EQ(std::system(command.c_str()), 0) << "z88 did not run";
    return {readMoved(frame), readEnds(frame)};
  }

 private:
  void write(const char* name, const std::string& text) { std::ofstream(folder_ / name) << text; }

  void writeStructure(const Frame& frame) {
    std::ostringstream out;
    out.precision(12);
    const std::size_t nodes = frame.nodes.size(), members = frame.members.size();
    out << "3 " << nodes << " " << members << " " << 6 * nodes << " " << members << " 0 1 0 0\n";
    for (std::size_t i = 0; i < nodes; ++i) {
      const Vec3& at = frame.nodes[i].at;
      out << i + 1 << " 6 " << at[0] << " " << at[1] << " " << at[2] << "\n";
    }
    for (std::size_t i = 0; i < members; ++i) {
      const Member& member = frame.members[i];
      out << i + 1 << (member.is_link ? " 4\n" : " 2\n") << member.a + 1 << " " << member.b + 1
          << "\n";
    }
    for (std::size_t i = 0; i < members; ++i) {
      const Metal& metal = frame.members[i].metal;
      const Section& section = frame.members[i].section;
      out << i + 1 << " " << i + 1 << " " << metal.elastic_N_mm2 << " "
          << metal.elastic_N_mm2 / (2 * metal.shear_N_mm2) - 1 << " 0 " << section.area_mm2 << " "
          << section.about_y_mm4 << " 1. " << section.about_z_mm4 << " 1. " << section.torsion_mm4
          << " 1.\n";
    }
    write("z88i1.txt", out.str());
  }

  void writeHolds(const Frame& frame, const std::vector<Six>& forces) {
    std::ostringstream lines;
    lines.precision(12);
    int count = 0;
    for (std::size_t node = 0; node < frame.nodes.size(); ++node) {
      for (int i = 0; i < 6; ++i) {
        const bool held = frame.nodes[node].held[i];
        if (held || forces[node][i] != 0) {
          lines << node + 1 << " " << i + 1 << (held ? " 2 0." : " 1 ");
          held ? lines << "\n" : lines << forces[node][i] << "\n";
          ++count;
        }
      }
    }
    write("z88i2.txt", std::to_string(count) + "\n" + lines.str());
  }

  std::vector<Six> readMoved(const Frame& frame) {
    std::vector<Six> out(frame.nodes.size(), kFree);
    std::ifstream in(folder_ / "z88o2.txt");
    std::size_t count = 0;
    for (std::string line; std::getline(in, line);) {
      std::istringstream words(line);
      std::size_t node = 0;
      Six six{};
      if (words >> node >> six[0] >> six[1] >> six[2] >> six[3] >> six[4] >> six[5]) {
        out.at(node - 1) = six;
        ++count;
      }
    }
    EXPECT_EQ(count, frame.nodes.size());
    return out;
  }

  EndForces readEnds(const Frame& frame) {
    EndForces out(frame.members.size());
    std::ifstream in(folder_ / "z88o4.txt");
    std::size_t member = 0, rows = 0;
    for (std::string line; std::getline(in, line);) {
      if (line.find("now the nodal sums") != std::string::npos) {
        break;
      }
      if (const std::size_t at = line.find("element # ="); at != std::string::npos) {
        member = std::stoul(line.substr(at + 11)) - 1;
        continue;
      }
      std::istringstream words(line);
      std::size_t node = 0;
      Six six{};
      if (words >> node >> six[0] >> six[1] >> six[2]) {
        words >> six[3] >> six[4] >> six[5];
        const bool is_a = static_cast<int>(node) - 1 == frame.members.at(member).a;
        out[member][is_a ? 0 : 1] = six;
        ++rows;
      }
    }
    EXPECT_EQ(rows, 2 * frame.members.size());
    return out;
  }

  std::filesystem::path folder_;
};

/// A member's own x, y and z in the frame's axes.
inline std::array<Vec3, 3> ownAxes(const Frame& frame, const Member& member) {
  const double length = lengthMm(frame, member);
  const Vec3 along = minus(frame.nodes[member.b].at, frame.nodes[member.a].at);
  const Vec3 x = {along[0] / length, along[1] / length, along[2] / length};
  const Vec3 across = cross(member.up, x);
  const Vec3 y = {across[0] / norm(across), across[1] / norm(across), across[2] / norm(across)};
  return {x, y, cross(x, y)};
}

/// What each member's ends bear by the stiffness alone: its own ends, less even loads.
inline EndForces endForces(const Frame& frame, const Response& response, const Loads& loads) {
  EndForces out(frame.members.size());
  for (std::size_t i = 0; i < frame.members.size(); ++i) {
    const Member& member = frame.members[i];
    const std::array<Vec3, 3> axes = ownAxes(frame, member);
    for (int end = 0; end < 2; ++end) {
      for (int axis = 0; axis < 3; ++axis) {
        for (int k = 0; k < 3; ++k) {
          out[i][end][k] += response.ends[i][6 * end + axis] * axes[axis][k];
          out[i][end][k + 3] += response.ends[i][6 * end + 3 + axis] * axes[axis][k];
        }
      }
    }
  }
  for (const auto& [index, q] : loads.along_members) {
    Loads one;
    one.along_members.emplace_back(index, q);
    const std::vector<Six> equal = atNodes(frame, one);
    for (int i = 0; i < 6; ++i) {
      out[index][0][i] += equal[frame.members[index].a][i];
      out[index][1][i] += equal[frame.members[index].b][i];
    }
  }
  return out;
}

}  // namespace leafstack::frame
