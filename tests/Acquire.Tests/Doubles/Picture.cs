using System.Buffers.Binary;
using System.IO.Compression;
using Acquire.Painting;

namespace Acquire.Tests.Doubles;

/// <summary>A caller's buffer with a surface in its middle, and bytes around it that nobody may touch.</summary>
internal sealed class Picture
{
    private const byte Untouched = 0xA5;
    private const int Border = 3;
    private readonly byte[] _bytes;
    private readonly int _stride;

    public Picture(int width, int height, PixelFormat format = PixelFormat.Bgra8888)
    {
        Width = width;
        Height = height;
        Format = format;
        _stride = ((width + (2 * Border)) * 4) + 5;
        _bytes = new byte[_stride * (height + (2 * Border))];
        Array.Fill(_bytes, Untouched);
    }

    public int Width { get; }

    public int Height { get; }

    public PixelFormat Format { get; }

    public PixelSurface Surface =>
        new PixelSurface(_bytes, Width + (2 * Border), Height + (2 * Border), _stride, Format).Slice(Border, Border, Width, Height);

    public ReadOnlySpan<byte> Bytes => _bytes;

    public Colour this[int x, int y] => Surface.Get(x, y);

    public bool SamePixels(Picture other) => _bytes.AsSpan().SequenceEqual(other._bytes);

    /// <summary>Whether every byte around the surface is as it was.</summary>
    public bool BordersAreUntouched()
    {
        int pixel = Format == PixelFormat.Bgra8888 ? 4 : 2;
        for (int i = 0; i < _bytes.Length; i++)
        {
            int row = i / _stride;
            int at = i % _stride;
            bool inside = row >= Border && row < Border + Height && at >= Border * pixel && at < (Border + Width) * pixel;
            if (!inside && _bytes[i] != Untouched) return false;
        }

        return true;
    }

    /// <summary>Writes the picture as a PNG file, to be looked at, where the environment names a folder for that.</summary>
    public void SaveFor(string name)
    {
        if (Environment.GetEnvironmentVariable("ACQUIRE_PICTURES") is not { Length: > 0 } folder) return;
        Directory.CreateDirectory(folder);
        using FileStream file = File.Create(Path.Combine(folder, name + ".png"));
        file.Write([0x89, (byte)'P', (byte)'N', (byte)'G', 13, 10, 26, 10]);
        byte[] header = new byte[13];
        BinaryPrimitives.WriteInt32BigEndian(header, Width);
        BinaryPrimitives.WriteInt32BigEndian(header.AsSpan(4), Height);
        header[8] = 8;
        header[9] = 2;
        WriteChunk(file, "IHDR", header);
        using var packed = new MemoryStream();
        using (var zlib = new ZLibStream(packed, CompressionLevel.Fastest, leaveOpen: true))
            for (int y = 0; y < Height; y++)
            {
                zlib.WriteByte(0);
                for (int x = 0; x < Width; x++)
                {
                    Colour colour = this[x, y];
                    zlib.Write([colour.Red, colour.Green, colour.Blue]);
                }
            }

        WriteChunk(file, "IDAT", packed.ToArray());
        WriteChunk(file, "IEND", []);
    }

    private static void WriteChunk(Stream file, string type, byte[] data)
    {
        byte[] chunk = [.. System.Text.Encoding.ASCII.GetBytes(type), .. data];
        Span<byte> number = stackalloc byte[4];
        BinaryPrimitives.WriteInt32BigEndian(number, data.Length);
        file.Write(number);
        file.Write(chunk);
        BinaryPrimitives.WriteUInt32BigEndian(number, Crc(chunk));
        file.Write(number);
    }

    private static uint Crc(byte[] bytes)
    {
        uint crc = uint.MaxValue;
        foreach (byte value in bytes)
        {
            crc ^= value;
            for (int bit = 0; bit < 8; bit++) crc = (crc >> 1) ^ ((crc & 1) * 0xEDB88320);
        }

        return ~crc;
    }
}
