//! Sound in: from a recorded file to windows of speech at 16 kHz.
