using System.Buffers.Binary;

namespace FlickerProbe.Rendering.Encoding;

/// <summary>Writes the rotation of an mp4 or mov file: the matrix of its track header (ISO/IEC 14496-12, 8.3.2).</summary>
/// <remarks>Done on the finished file because the encoder's way of asking for it has changed from version to version.</remarks>
internal static class DisplayMatrix
{
    /// <summary>Has players turn the picture clockwise by <paramref name="degrees"/>.</summary>
    public static void Write(string path, int degrees)
    {
        (int a, int b, int c, int d) = degrees switch
        {
            90 => (0, 1, -1, 0),
            180 => (-1, 0, 0, -1),
            270 => (0, -1, 1, 0),
            _ => throw new ArgumentException($"A rotation of {degrees} degrees: 90, 180 and 270 are known."),
        };
        byte[] file = File.ReadAllBytes(path);
        int header = Find(file, 0, file.Length, ["moov", "trak", "tkhd"]);
        // After version and flags: times (3 × 4 or 8 bytes, with the track number 4 and reserved 4), 8 reserved, 8 of layer, group, volume.
        int matrix = header + 4 + (file[header] == 1 ? 32 : 20) + 16;
        Put(0, a << 16);
        Put(1, b << 16);
        Put(3, c << 16);
        Put(4, d << 16);
        File.WriteAllBytes(path, file);

        void Put(int index, int value) => BinaryPrimitives.WriteInt32BigEndian(file.AsSpan(matrix + 4 * index), value);
    }

    /// <summary>Start of the payload of the box found by going down <paramref name="names"/>.</summary>
    private static int Find(byte[] file, int from, int to, ReadOnlySpan<string> names)
    {
        for (int at = from; at + 8 <= to;)
        {
            long size = BinaryPrimitives.ReadUInt32BigEndian(file.AsSpan(at));
            int head = 8;
            if (size == 1)
            {
                size = BinaryPrimitives.ReadInt64BigEndian(file.AsSpan(at + 8));
                head = 16;
            }

            if (size == 0) size = to - at;
            if (size < head) break;
            if (System.Text.Encoding.ASCII.GetString(file, at + 4, 4) == names[0])
                return names.Length == 1 ? at + head : Find(file, at + head, (int)(at + size), names[1..]);
            at += (int)size;
        }

        throw new InvalidDataException($"The file has no {names[0]} box to write the rotation to.");
    }
}
