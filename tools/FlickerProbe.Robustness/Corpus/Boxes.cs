using System.Buffers.Binary;
using System.Text;

namespace FlickerProbe.Robustness.Corpus;

/// <summary>Finds and changes boxes of an MP4 or QuickTime file (ISO/IEC 14496-12: four bytes of size, four of name, content).</summary>
internal static class Boxes
{
    private static readonly string[] Holders = ["moov", "trak", "mdia", "minf", "stbl", "dinf", "edts", "moof", "traf", "mvex"];

    /// <summary>Where the content of the first box of a name starts; throws when there is none.</summary>
    public static int Content(byte[] file, string name) => Find(file, name, 0, file.Length) is { Count: > 0 } path ? path[^1] + 8 : throw new InvalidOperationException($"No box '{name}'.");

    /// <summary>A copy with bytes written at an offset into a box's content.</summary>
    public static byte[] With(byte[] file, string box, int offset, params byte[] bytes)
    {
        byte[] copy = [.. file];
        bytes.CopyTo(copy, Content(file, box) + offset);
        return copy;
    }

    /// <summary>A copy with a 32-bit number, big end first, at an offset into a box's content.</summary>
    public static byte[] With(byte[] file, string box, int offset, uint number)
    {
        byte[] bytes = new byte[4];
        BinaryPrimitives.WriteUInt32BigEndian(bytes, number);
        return With(file, box, offset, bytes);
    }

    /// <summary>A copy with more bytes at the end of a box; the sizes of the boxes around it are put right. Only for boxes behind the media.</summary>
    public static byte[] Extended(byte[] file, string box, int dropFrom, byte[] more)
    {
        List<int> path = Find(file, box, 0, file.Length);
        int start = path[^1], size = (int)BinaryPrimitives.ReadUInt32BigEndian(file.AsSpan(start));
        byte[] copy = [.. file[..(start + 8 + dropFrom)], .. more, .. file[(start + size)..]];
        int grown = more.Length - (size - 8 - dropFrom);
        foreach (int at in path) BinaryPrimitives.WriteUInt32BigEndian(copy.AsSpan(at), (uint)(BinaryPrimitives.ReadUInt32BigEndian(file.AsSpan(at)) + grown));
        return copy;
    }

    /// <summary>Where the box and all that hold it start, outermost first.</summary>
    private static List<int> Find(byte[] file, string name, int from, int to)
    {
        for (int at = from; at + 8 <= to;)
        {
            int size = (int)BinaryPrimitives.ReadUInt32BigEndian(file.AsSpan(at));
            string kind = Encoding.Latin1.GetString(file, at + 4, 4);
            if (kind == name) return [at];
            if (size < 8) break;
            if (Holders.Contains(kind) && Find(file, name, at + 8, Math.Min(to, at + size)) is { Count: > 0 } inside) return [at, .. inside];
            at += size;
        }
        return [];
    }
}
