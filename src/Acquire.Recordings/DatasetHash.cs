using System.Security.Cryptography;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Recordings;

/// <summary>Compares a dataset with the hash that its metadata states.</summary>
internal static class DatasetHash
{
    private const int BlockBytes = 256 << 10;

    /// <summary>Reads the whole file and compares.</summary>
    /// <exception cref="RecordingException">The hash differs or is no hash.</exception>
    public static void Verify(SafeFileHandle handle, RecordingLayout layout, CancellationToken cancel)
    {
        if (layout.Sha512 is not { } stated)
        {
            layout.Notes.Add("The metadata has no core:sha512; the dataset could not be verified.");
            return;
        }

        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA512);
        byte[] block = new byte[BlockBytes];
        long length = RandomAccess.GetLength(handle);
        for (long at = 0; at < length;)
        {
            cancel.ThrowIfCancellationRequested();
            Span<byte> bytes = block.AsSpan(0, (int)Math.Min(BlockBytes, length - at));
            FileOpening.ReadExactly(handle, bytes, at, layout.DataPath);
            hash.AppendData(bytes);
            at += bytes.Length;
        }

        string found = Convert.ToHexStringLower(hash.GetHashAndReset());
        if (!string.Equals(found, stated, StringComparison.OrdinalIgnoreCase))
        {
            throw new RecordingException(RecordingFailure.HashWrong,
                $"{VisibleText.Whole(layout.DataPath)} has SHA-512 {found[..16]}... but its metadata states {VisibleText.Of(stated[..Math.Min(16, stated.Length)])}...; the two do not belong together or one is damaged. Copy both anew from where they were taken; without VerifyHash they are read as they are.");
        }
    }
}
